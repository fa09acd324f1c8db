// Records: how plans are kept in this browser, and how the open plan is written to its record and restored from it.

import { Refused, Stopped, check, encodeLink } from "../core.js";
import { FORMAT } from "./check.js";
import { fromPlan, toPlan } from "./format.js";
import * as past from "./past.js";
import { open } from "./plan.js";
import * as store from "./store.js";

/** @import { Kept } from "../../types/page" */

/** @type {Kept | null} */
let accepted = null;

/**
 * The own plan as the core accepted it last.
 * @type {() => Kept | null}
 */
export const lastAccepted = () => accepted;

/**
 * The record of the open plan, where that is an own one. Entries are replaced, never changed in place, so the record does not change with
 * the draft.
 * @returns {Kept | null}
 */
export function record() {
  if (open.mode !== "own") return null;
  const { car, limits, racks, spacing } = open.draft;
  const rest = { car: { ...car }, limits: { ...limits }, racks: racks.map((rack) => ({ ...rack.entries })) };
  return { format: FORMAT, id: open.id, plan: toPlan(open.draft), rest, asked: { spacing, travelBy: racks.map((rack) => rack.travelBy) } };
}

/**
 * Writes the own plan's record; called at every keystroke. Only what the core accepts is written, else its refusal is thrown. What another tab
 * wrote since is not overwritten: this tab's version goes into its session storage.
 */
export function save() {
  if (open.mode !== "own") return;
  const now = /** @type {Kept} */ (record());
  try {
    check(now.plan);
  } catch (error) {
    // The core restarts, and the plan is saved then.
    if (error instanceof Stopped) return;
    throw error;
  }
  accepted = now;
  detectClash();
  if (open.clash) return void store.aside(now);
  const text = JSON.stringify({ ...now, stamp: newId(), when: Date.now() });
  open.kept = store.keep(open.id, text);
  if (open.kept) open.raw = text;
  store.noteOpen(open.id);
}

/** Notes a clash where another tab has changed or removed the record. An unreadable record is ignored. */
export function detectClash() {
  if (open.mode !== "own" || open.clash === "removed" || open.raw === null) return;
  const now = store.raw(open.id);
  if (now === open.raw || store.state.trouble === "refused") return;
  const held = now === null ? null : store.parse(open.id, now);
  if (now === null || held?.gone !== undefined) open.clash = "removed";
  else if (held) open.clash = "changed";
}

/**
 * Opens a record; throws what the core refuses.
 * @type {(held: Kept) => void}
 */
export function restore(held) {
  const { id, plan, rest, asked } = held;
  const draft = fromPlan(plan, rest);
  draft.id = id;
  draft.spacing = asked.spacing;
  for (const [i, rack] of draft.racks.entries()) rack.travelBy = asked.travelBy[i] ?? null;
  Object.assign(open, { mode: "own", id, draft, raw: store.raw(id), kept: true, clash: "" });
  accepted = record();
}

/**
 * Opens a record; tells whether the core could read it.
 * @type {(held: Kept) => boolean}
 */
export function tryRestore(held) {
  try {
    restore(held);
    return true;
  } catch (error) {
    if (error instanceof Stopped) throw error;
    // A bug of the page is reported, and the other plans stay usable.
    if (!(error instanceof Refused)) reportError(error);
    return false;
  }
}

/** @type {Map<string, { text: string, ok: boolean }>} */
const verified = new Map();

/**
 * Whether the core can read a record.
 * @type {(held: Kept | null) => boolean}
 */
export function readable(held) {
  if (!held) return false;
  const text = JSON.stringify(held.plan);
  const before = verified.get(held.id);
  if (before?.text === text) return before.ok;
  try {
    verified.set(held.id, { text, ok: encodeLink(held.plan) !== "" });
  } catch (error) {
    if (!(error instanceof Refused)) return true;
    verified.set(held.id, { text, ok: false });
  }
  return verified.get(held.id)?.ok ?? false;
}

/**
 * The record of the own plan that was open last, else of the one changed last.
 * @type {() => Kept | null}
 */
export function own() {
  const last = store.record(store.lastOpen());
  return readable(last) ? last : (store.list().find((one) => readable(one.held))?.held ?? null);
}

/**
 * Stores a copy of a plan under another name; returns its id, or `null` where there is no room.
 * @type {(what: string, held: Kept, name: string) => string | null}
 */
export function copyPlan(what, held, name) {
  const id = newId();
  const plan = { ...held.plan, id, name };
  check(plan);
  if (!store.keep(id, JSON.stringify({ ...held, id, plan, stamp: newId(), when: Date.now() }))) return null;
  past.addTo(id, { what, born: true, back: held.id });
  return id;
}

/**
 * Renames a plan that is not open, `first` at the first of several keystrokes; tells whether there was room.
 * @type {(what: string, held: Kept, name: string, first: boolean) => boolean}
 */
export function renamePlan(what, held, name, first) {
  const plan = { ...held.plan, name };
  check(plan);
  if (first) past.addTo(held.id, { what, was: held });
  return store.keep(held.id, JSON.stringify({ ...held, plan, stamp: newId(), when: Date.now() }));
}

/**
 * A random id of 48 bits, as the plan format writes it.
 * @type {() => string}
 */
export function newId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(6)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}
