// What this browser keeps for the page: a record a plan, a record a step back, which plan is open. Nothing here understands a plan.
//
// Every call may be refused, and any text may have been spoilt: what cannot be kept is said, what cannot be read is left alone.

import * as check from "./check.js";

const PLAN = "donorack.plan.";
const STEP = "donorack.step.";
const OPEN = "donorack.open";
// As earlier versions had them: all the steps of a plan, all that was removed.
const PAST = "donorack.past.";
const GONE = "donorack.gone";
const MOST_GONE = 20;

/** How it stands: `trouble` is "", "refused" or "full". */
export const state = { trouble: "" };

/** A text, or nothing. */
export function read(key) {
  try {
    return localStorage.getItem(key);
  } catch {
    state.trouble = "refused";
    return null;
  }
}

/** Keeps a text, or takes it away for `null`; tells whether that was done. */
export const write = (key, text) => !attempt(key, text);

const isFull = (error) => error?.name === "QuotaExceededError" || error?.name === "NS_ERROR_DOM_QUOTA_REACHED";

// Why it could not be done, or nothing. Where there is no room, what matters less gives way, as much as is needed and no more.
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
      let need = key.length + text.length - (read(key)?.length ?? 0);
      do {
        const next = less.shift();
        need -= next.length + (read(next)?.length ?? 0);
        localStorage.removeItem(next);
      } while (less.length && need > 0);
    }
  }
}

// What gives way to `key`: the steps back of other plans, the oldest first; this plan's own, its last one only to the plan itself;
// then, to a plan alone, what was removed, the longest ago first.
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

const idOf = (key) => key.split(".")[2] ?? "";
const number = (key) => Number(key.split(".")[3]);

function keys(prefix) {
  try {
    return Array.from({ length: localStorage.length }, (_, i) => localStorage.key(i)).filter((key) => key?.startsWith(prefix));
  } catch {
    state.trouble = "refused";
    return [];
  }
}

// ---- plans ----

/** The key under which a plan is kept. */
export const keyOf = (id) => PLAN + id;
/** A plan's record as it is kept, letter by letter. */
export const raw = (id) => read(PLAN + id);

/** What the text of plan `id` says, if it is a record of it. */
export const parse = (id, text) => check.record(check.json(text), id);

const held = (id) => (id ? parse(id, raw(id)) : null);

/** A plan's record, or nothing; what was removed has none. */
export function record(id) {
  const one = held(id);
  return one?.gone === undefined ? one : null;
}

/** Keeps the text of a record; tells whether that was done. */
export function keep(id, text) {
  state.trouble = attempt(PLAN + id, text);
  return !state.trouble;
}

const all = () => keys(PLAN).map((key) => ({ id: key.slice(PLAN.length), held: parse(key.slice(PLAN.length), read(key)) }));

/** All plans: `{id, held}`, the last changed first; `held` is nothing where the text cannot be read. */
export const list = () =>
  all()
    .filter((one) => one.held?.gone === undefined)
    .sort((a, b) => (b.held?.when ?? 0) - (a.held?.when ?? 0));

/** Which plan was open last. */
export const lastOpen = () => read(OPEN);
/** Notes which plan is open. */
export const noteOpen = (id) => (read(OPEN) === id ? true : write(OPEN, id));

/** The steps back of a plan, the oldest first: `[number, text]`. */
export const steps = (id) =>
  keys(`${STEP}${id}.`)
    .map((key) => [number(key), read(key)])
    .sort(([a], [b]) => a - b);
/** Keeps one; tells whether there was room. */
export const keepStep = (id, n, text) => write(`${STEP}${id}.${n}`, text);
/** Lets one go. */
export const dropStep = (id, n) => write(`${STEP}${id}.${n}`, null);

/** All of them in one text, as earlier versions kept them. */
export const oldSteps = (id) => read(PAST + id);
/** Lets that go. */
export const dropOldSteps = (id) => write(PAST + id, null);

/** Takes a plan away, with its steps. */
export function forget(id) {
  for (const key of [PLAN + id, PAST + id, ...keys(`${STEP}${id}.`)]) write(key, null);
}

// ---- what was removed ----

/** The records of the plans that were removed, the last one first. */
export const gone = () =>
  all()
    .map((one) => one.held)
    .filter((one) => one?.gone !== undefined)
    .sort((a, b) => b.gone - a.gone);

/**
 * Takes a plan away, so that it can be brought back; tells whether that was done. It stays under its key and says when it went: in place
 * of when it was changed, where there is not even room for that. So a store that is full to the last byte can still do it.
 */
export function remove(id) {
  const one = held(id);
  return Boolean(one) && keepAway(one, Date.now());
}

/** Keeps a record as one that was removed then. */
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

/** Brings a removed plan back; tells whether it is there again. */
export function bringBack(id) {
  const one = held(id);
  if (one?.gone === undefined) return false;
  const { gone: then, ...rest } = one;
  return keep(id, JSON.stringify({ ...rest, when: rest.when ?? then }));
}

/** The list of removed plans that earlier versions kept. */
export const oldGone = () => read(GONE);
export const keepOldGone = (text) => write(GONE, text);
export const dropOldGone = () => write(GONE, null);

// ---- this tab alone ----

const ASIDE = "donorack.aside";
const BESIDE = "donorack.beside";
const HERE = "donorack.place";

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

/** What was typed here while another tab had changed the plan: given, read, or taken away for `null`. */
export const aside = (given) => check.record(tab(ASIDE, given));
/** The place on the page, as this tab left it. */
export const here = (given) => tab(HERE, given);
/** A plan that lies beside one's own: `{id, link, kind}`. */
export function beside(given) {
  const one = tab(BESIDE, given);
  return check.isId(one?.id) && typeof one.link === "string" ? one : null;
}
