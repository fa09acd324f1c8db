// Local and session storage: a record for each plan, a record for each undo step, which plan is open. Nothing here reads a plan's contents.
//
// Every call may fail, and any text may be damaged: a failure to write is reported, an unreadable text is not touched.

import * as check from "./check.js";

/** @import { BesideKind, Json, Kept, PagePlace, Trouble } from "../../types/page" */

const PLAN = "donorack.plan.";
const STEP = "donorack.step.";
const OPEN = "donorack.open";
// Keys of earlier versions: all undo steps of a plan, all removed plans.
const PAST = "donorack.past.";
const GONE = "donorack.gone";
const MOST_GONE = 20;

/**
 * Whether the storage works.
 * @type {{ trouble: Trouble }}
 */
export const state = { trouble: "" };

/**
 * The text under a key, or `null`.
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
 * Writes a text, or removes it for `null`; returns whether that was done.
 * @type {(key: string, text: string | null) => boolean}
 */
export const write = (key, text) => !attempt(key, text);

/** @type {(error: unknown) => boolean} */
const isFull = (error) => error instanceof Error && (error.name === "QuotaExceededError" || error.name === "NS_ERROR_DOM_QUOTA_REACHED");

// Writes, and returns why it could not, or "". Where there is no room less important records are deleted, no more than necessary.
/**
 * @param {string} key
 * @param {string | null} text
 * @returns {Trouble}
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
      less ??= evictable(key);
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

// The keys that may be deleted to make room for `key`, in this order: undo steps of other plans, the oldest first; this plan's own, the last one
// only for the plan itself; then, only for a plan, removed plans, the longest ago first.
/**
 * @param {string} key
 * @returns {string[]}
 */
function evictable(key) {
  const id = idOf(key);
  const all = keys(STEP)
    .sort((a, b) => stepNumber(a) - stepNumber(b))
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
const stepNumber = (key) => Number(key.split(".")[3]);

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
 * The exact text of a plan's record.
 * @type {(id: string) => string | null}
 */
export const raw = (id) => read(PLAN + id);

/**
 * The record of plan `id` that a text holds, or `null`.
 * @type {(id: string, text: string | null) => Kept | null}
 */
export const parse = (id, text) => check.record(check.json(text), id);

/** @type {(id: string | null) => Kept | null} */
const heldRecord = (id) => (id ? parse(id, raw(id)) : null);

/**
 * A plan's record, or `null`; a removed plan has none.
 * @param {string | null} id
 * @returns {Kept | null}
 */
export function record(id) {
  const one = heldRecord(id);
  return one?.gone === undefined ? one : null;
}

/**
 * Stores the text of a record; tells whether that was done.
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

/** All plans: `{id, held}`, the last changed first; `held` is `null` where the text cannot be read. */
export const list = () =>
  all()
    .filter((one) => one.held?.gone === undefined)
    .sort((a, b) => (b.held?.when ?? 0) - (a.held?.when ?? 0));

/** Which plan was open last. */
export const lastOpen = () => read(OPEN);
/**
 * Stores which plan is open.
 * @type {(id: string | null) => boolean}
 */
export const noteOpen = (id) => (read(OPEN) === id ? true : write(OPEN, id));

/**
 * The undo steps of a plan, the oldest first: `[number, text]`.
 * @type {(id: string) => [number, string | null][]}
 */
export const steps = (id) =>
  keys(`${STEP}${id}.`)
    .map((key) => /** @type {[number, string | null]} */ ([stepNumber(key), read(key)]))
    .sort(([a], [b]) => a - b);
/**
 * Writes a step; returns whether there was room.
 * @type {(id: string, n: number, text: string) => boolean}
 */
export const keepStep = (id, n, text) => write(`${STEP}${id}.${n}`, text);
/**
 * Deletes a step.
 * @type {(id: string, n: number) => boolean}
 */
export const dropStep = (id, n) => write(`${STEP}${id}.${n}`, null);

/**
 * All steps in one text, as earlier versions kept them.
 * @type {(id: string) => string | null}
 */
export const oldSteps = (id) => read(PAST + id);
/**
 * Deletes that text.
 * @type {(id: string) => boolean}
 */
export const dropOldSteps = (id) => write(PAST + id, null);

/**
 * Deletes a plan, with its steps.
 * @param {string} id
 */
export function forget(id) {
  for (const key of [PLAN + id, PAST + id, ...keys(`${STEP}${id}.`)]) write(key, null);
}

// ---- removed plans ----

/**
 * The records of removed plans, the last removed first.
 * @type {() => Kept[]}
 */
export const gone = () =>
  all()
    .map((one) => one.held)
    .filter((one) => one !== null)
    .filter((one) => one.gone !== undefined)
    .sort((a, b) => Number(b.gone) - Number(a.gone));

/**
 * Marks a plan as removed, so that it can be brought back; tells whether that was done. The record stays under its key, with the time of its
 * removal: in place of the time of its last change where there is no room for both. So this works in a store without any room left.
 * @param {string} id
 */
export function remove(id) {
  const one = heldRecord(id);
  return one !== null && keepAway(one, Date.now());
}

/**
 * Stores a record as removed at a time.
 * @param {Kept} record
 * @param {number} then when it was removed
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
 * Restores a removed plan; tells whether that was done.
 * @param {string} id
 */
export function bringBack(id) {
  const one = heldRecord(id);
  if (one?.gone === undefined) return false;
  const { gone: then, ...rest } = one;
  return keep(id, JSON.stringify({ ...rest, when: rest.when ?? then }));
}

/** The list of removed plans that earlier versions kept. */
export const oldGone = () => read(GONE);
/** @type {(text: string) => boolean} */
export const keepOldGone = (text) => write(GONE, text);
export const dropOldGone = () => write(GONE, null);

// ---- session storage ----

const ASIDE = "donorack.aside";
const BESIDE = "donorack.beside";
const HERE = "donorack.place";

/**
 * @param {string} key
 * @param {object | null} [value]
 * @returns {Json}
 */
function inSession(key, value) {
  try {
    if (value === undefined) return check.json(sessionStorage.getItem(key));
    if (value === null) sessionStorage.removeItem(key);
    else sessionStorage.setItem(key, JSON.stringify(value));
  } catch {
    // Without session storage it is lost when the tab is closed.
  }
  return null;
}

/**
 * The record of what was typed in this tab while another had changed the plan: written if given, deleted for `null`.
 * @type {(given?: Kept | null) => Kept | null}
 */
export const aside = (given) => check.record(inSession(ASIDE, given));
/**
 * The place on the page, as this tab left it.
 * @type {(given?: PagePlace) => PagePlace | null}
 */
export const here = (given) => inSession(HERE, given);
/**
 * The other version that is shown beside the own plan: `{id, link, kind}`.
 * @param {{ id: string, link: string, kind: BesideKind | null } | null} [given]
 * @returns {{ id: string, link: string, kind: BesideKind | null } | null}
 */
export function beside(given) {
  const one = inSession(BESIDE, given);
  return check.isId(one?.id) && typeof one.link === "string" ? one : null;
}
