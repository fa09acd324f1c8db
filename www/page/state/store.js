// What this browser keeps for the page: a record a plan, a record a step back, which plan is open. Nothing here understands a plan.
//
// Every call may be refused, and any text may have been spoilt: what cannot be kept is said, what cannot be read is left alone.

import * as check from "./check.js";

/** @typedef {import("./check.js").Kept} Kept */

const PLAN = "donorack.plan.";
const STEP = "donorack.step.";
const OPEN = "donorack.open";
// As earlier versions had them: all the steps of a plan, all that was removed.
const PAST = "donorack.past.";
const GONE = "donorack.gone";
const MOST_GONE = 20;

/** How it stands: `trouble` is "", "refused" or "full". */
export const state = { trouble: "" };

/**
 * A text, or nothing.
 * @param {string} key
 * @returns {string | null}
 */
export function read(key) {
  try {
    return localStorage.getItem(key);
  } catch {
    state.trouble = "refused";
    return null;
  }
}

/**
 * Keeps a text, or takes it away for `null`; tells whether that was done.
 * @type {(key: string, text: string | null) => boolean}
 */
export const write = (key, text) => !attempt(key, text);

/** @type {(error: any) => boolean} */
const isFull = (error) => error?.name === "QuotaExceededError" || error?.name === "NS_ERROR_DOM_QUOTA_REACHED";

// Why it could not be done, or nothing. Where there is no room, what matters less gives way, as much as is needed and no more.
/**
 * @param {string} key
 * @param {string | null} text
 * @returns {"" | "refused" | "full"}
 */
function attempt(key, text) {
  let less = null;
  for (;;) {
    try {
      if (text === null) localStorage.removeItem(key);
      else localStorage.setItem(key, text);
      return "";
    } catch (error) {
      if (!isFull(error)) return "refused";
      less ??= lesser(key);
      if (!less.length) return "full";
      let need = key.length + (text?.length ?? 0) - (read(key)?.length ?? 0);
      do {
        const next = less.shift() ?? "";
        need -= next.length + (read(next)?.length ?? 0);
        localStorage.removeItem(next);
      } while (less.length && need > 0);
    }
  }
}

// What gives way to `key`: the steps back of other plans, the oldest first; this plan's own, its last one only to the plan itself;
// then, to a plan alone, what was removed, the longest ago first.
/**
 * @param {string} key
 * @returns {string[]}
 */
function lesser(key) {
  const id = idOf(key);
  const all = keys(STEP)
    .sort((a, b) => number(a) - number(b))
    .filter((k) => k !== key);
  const others = [...keys(PAST), ...all.filter((k) => idOf(k) !== id)].filter((k) => k !== PAST + id);
  const own = all.filter((k) => idOf(k) === id);
  if (!key.startsWith(PLAN)) return [...others, PAST + id, ...own.slice(0, -1)].filter((k) => read(k) !== null);
  return [
    ...others,
    PAST + id,
    ...own,
    ...gone()
      .map((one) => PLAN + one.id)
      .reverse(),
  ].filter((k) => k !== key && read(k) !== null);
}

/** @type {(key: string) => string} */
const idOf = (key) => key.split(".")[2] ?? "";
/** @type {(key: string) => number} */
const number = (key) => Number(key.split(".")[3]);

/**
 * @param {string} prefix
 * @returns {string[]}
 */
function keys(prefix) {
  try {
    return Array.from({ length: localStorage.length }, (_, i) => localStorage.key(i) ?? "").filter((key) => key.startsWith(prefix));
  } catch {
    state.trouble = "refused";
    return [];
  }
}

// ---- plans ----

/**
 * The key under which a plan is kept.
 * @type {(id: string) => string}
 */
export const keyOf = (id) => PLAN + id;
/**
 * A plan's record as it is kept, letter by letter.
 * @type {(id: string) => string | null}
 */
export const raw = (id) => read(PLAN + id);

/**
 * What the text of plan `id` says, if it is a record of it.
 * @type {(id: string, text: string | null) => Kept | null}
 */
export const parse = (id, text) => check.record(check.json(text), id);

/** @type {(id: string | null) => Kept | null} */
const held = (id) => (id ? parse(id, raw(id)) : null);

/**
 * A plan's record, or nothing; what was removed has none.
 * @param {string | null} id
 * @returns {Kept | null}
 */
export function record(id) {
  const one = held(id);
  return one?.gone === undefined ? one : null;
}

/**
 * Keeps the text of a record; tells whether that was done.
 * @param {string} id
 * @param {string} text
 * @returns {boolean}
 */
export function keep(id, text) {
  state.trouble = attempt(PLAN + id, text);
  return !state.trouble;
}

/** @type {() => { id: string, held: Kept | null }[]} */
const all = () => keys(PLAN).map((key) => ({ id: key.slice(PLAN.length), held: parse(key.slice(PLAN.length), read(key)) }));

/** All plans: `{id, held}`, the last changed first; `held` is nothing where the text cannot be read. */
export const list = () =>
  all()
    .filter((one) => one.held?.gone === undefined)
    .sort((a, b) => (b.held?.when ?? 0) - (a.held?.when ?? 0));

/** Which plan was open last. */
export const lastOpen = () => read(OPEN);
/**
 * Notes which plan is open.
 * @type {(id: string | null) => boolean}
 */
export const noteOpen = (id) => (read(OPEN) === id ? true : write(OPEN, id));

/**
 * The steps back of a plan, the oldest first: `[number, text]`.
 * @type {(id: string) => [number, string | null][]}
 */
export const steps = (id) =>
  keys(`${STEP}${id}.`)
    .map((key) => /** @type {[number, string | null]} */ ([number(key), read(key)]))
    .sort(([a], [b]) => a - b);
/**
 * Keeps one; tells whether there was room.
 * @type {(id: string, n: number, text: string) => boolean}
 */
export const keepStep = (id, n, text) => write(`${STEP}${id}.${n}`, text);
/**
 * Lets one go.
 * @type {(id: string, n: number) => boolean}
 */
export const dropStep = (id, n) => write(`${STEP}${id}.${n}`, null);

/**
 * All of them in one text, as earlier versions kept them.
 * @type {(id: string) => string | null}
 */
export const oldSteps = (id) => read(PAST + id);
/**
 * Lets that go.
 * @type {(id: string) => boolean}
 */
export const dropOldSteps = (id) => write(PAST + id, null);

/**
 * Takes a plan away, with its steps.
 * @param {string} id
 */
export function forget(id) {
  for (const key of [PLAN + id, PAST + id, ...keys(`${STEP}${id}.`)]) write(key, null);
}

// ---- what was removed ----

/**
 * The records of the plans that were removed, the last one first.
 * @type {() => Kept[]}
 */
export const gone = () =>
  all()
    .map((one) => one.held)
    .filter((one) => one !== null)
    .filter((one) => one.gone !== undefined)
    .sort((a, b) => Number(b.gone) - Number(a.gone));

/**
 * Takes a plan away, so that it can be brought back; tells whether that was done. It stays under its key and says when it went: in place
 * of when it was changed, where there is not even room for that. So a store that is full to the last byte can still do it.
 * @param {string} id
 */
export function remove(id) {
  const one = held(id);
  return one !== null && keepAway(one, Date.now());
}

/**
 * Keeps a record as one that was removed then.
 * @param {Kept} record
 * @param {number} then when it went
 */
export function keepAway({ gone: _, ...one }, then) {
  const { when, ...rest } = one;
  if (
    ![
      { ...one, gone: then },
      { ...rest, gone: then },
    ].some((record) => write(PLAN + one.id, JSON.stringify(record)))
  )
    return false;
  for (const { id } of gone().slice(MOST_GONE)) forget(id);
  return true;
}

/**
 * Brings a removed plan back; tells whether it is there again.
 * @param {string} id
 */
export function bringBack(id) {
  const one = held(id);
  if (one?.gone === undefined) return false;
  const { gone: then, ...rest } = one;
  return keep(id, JSON.stringify({ ...rest, when: rest.when ?? then }));
}

/** The list of removed plans that earlier versions kept. */
export const oldGone = () => read(GONE);
/** @type {(text: string) => boolean} */
export const keepOldGone = (text) => write(GONE, text);
export const dropOldGone = () => write(GONE, null);

// ---- this tab alone ----

const ASIDE = "donorack.aside";
const BESIDE = "donorack.beside";
const HERE = "donorack.place";

/**
 * @param {string} key
 * @param {any} value
 * @returns {any}
 */
function tab(key, value) {
  try {
    if (value === undefined) return check.json(sessionStorage.getItem(key));
    if (value === null) sessionStorage.removeItem(key);
    else sessionStorage.setItem(key, JSON.stringify(value));
  } catch {
    // A tab that may keep nothing forgets it when it is closed.
  }
  return null;
}

/**
 * What was typed here while another tab had changed the plan: given, read, or taken away for `null`.
 * @type {(given?: any) => Kept | null}
 */
export const aside = (given) => check.record(tab(ASIDE, given));
/**
 * The place on the page, as this tab left it.
 * @type {(given?: any) => any}
 */
export const here = (given) => tab(HERE, given);
/**
 * A plan that lies beside one's own: `{id, link, kind}`.
 * @param {any} [given]
 * @returns {{ id: string, link: string, kind: string | null } | null}
 */
export function beside(given) {
  const one = tab(BESIDE, given);
  return check.isId(one?.id) && typeof one.link === "string" ? one : null;
}
