// Opening: puts a plan of this browser, the example or a friend's in place of the one that is open.

import * as past from "./past.js";
import { fromPlan } from "./format.js";
import { open, ownId, undoState } from "./plan.js";
import { newId, own, readable, save, tryRestore } from "./record.js";
import * as store from "./store.js";

/** @import { Draft, Plan } from "../../types/page" */

/** Stands for the example where an own plan would be named by its id. */
export const EXAMPLE = "example";

/**
 * Opens an own plan, the last one unless another is asked for. For an unreadable plan its last readable undo step is opened, else the next plan.
 * @type {(id?: string | null) => boolean}
 */
export function openOwn(id = null) {
  const aside = store.aside();
  if (aside && aside.id === id && !store.record(id) && tryRestore(aside)) {
    open.clash = "removed";
    undoState.steps = [];
    return true;
  }
  const wanted = [...new Set([id ?? store.lastOpen(), ...store.list().map((one) => one.id)])].flatMap((id) => id || []);
  for (const [n, next] of wanted.entries()) {
    const held = store.record(next);
    if (held && tryRestore(held)) {
      Object.assign(undoState, { steps: past.read(next), group: null });
      store.noteOpen(next);
      restoreAside();
      return true;
    }
    if (n === 0 && openEarlier(next)) return true;
  }
  return false;
}

/**
 * Opens the last readable undo step of a plan whose record cannot be read. The record is stored under another id, where there is room.
 * @type {(id: string) => boolean}
 */
export function openEarlier(id) {
  const text = store.raw(id);
  if (text === null || readable(store.record(id)) || store.parse(id, text)?.gone !== undefined) return false;
  const left = past.read(id);
  for (let last = past.take(id, left); last; last = past.take(id, left)) {
    if (!last.was || !tryRestore({ ...last.was, id })) continue;
    Object.assign(undoState, { steps: left, group: null });
    store.write(store.keyOf(newId()), text);
    open.raw = null;
    open.earlier = last.what;
    save();
    return true;
  }
  return false;
}

// After a reload: what was typed in this tab while another had changed the plan, and the clash.
function restoreAside() {
  const held = store.aside();
  if (held?.id !== open.id) return;
  const { raw } = open;
  if (tryRestore(held)) Object.assign(open, { raw, clash: "changed" });
}

/**
 * Opens a plan to look at, the example or a friend's.
 * @type {(mode: "example" | "friend", plan: Plan) => void}
 */
export function openOther(mode, plan) {
  Object.assign(undoState, { steps: [], group: null });
  Object.assign(open, { mode, id: null, draft: fromPlan(plan), raw: null, kept: true, clash: "" });
}

/**
 * Makes `draft` another own plan; undoing that leads back to the one that is open now.
 * @type {(what: string, draft: Draft) => void}
 */
export function openAsOwn(what, draft) {
  const back = open.mode === "own" ? open.id : (own()?.id ?? EXAMPLE);
  beginOwn(what, draft, back);
  if (draft.id) draft.id = open.id;
  save();
}

/**
 * Opens `draft` as a new own plan; undoing that leads to the plan `back`.
 * @type {(what: string, draft: Draft, back: string) => void}
 */
export function beginOwn(what, draft, back) {
  Object.assign(undoState, { steps: [], group: null });
  Object.assign(open, { mode: "own", id: idFor(draft.id), draft, raw: null, kept: true, clash: "" });
  past.add(ownId(), undoState.steps, { what, born: true, back });
}

// A friend's plan keeps its id, so that it is recognised in a later link; unless this browser has a plan with that id.
/** @type {(given: string | null | undefined) => string} */
const idFor = (given) => (given && !store.raw(given) ? given : newId());
