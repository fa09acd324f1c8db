// History: every change of the open plan, and undo.

import { Refused } from "../core.js";
import { reopenClash } from "./clash.js";
import { toPlan } from "./format.js";
import { EXAMPLE, beginOwn, openOther, openOwn } from "./opening.js";
import * as past from "./past.js";
import { open, ownId, undoState } from "./plan.js";
import { detectClash, lastAccepted, record, restore, save, tryRestore } from "./record.js";
import * as store from "./store.js";

/** @import { Draft, Kept, Plan } from "../../types/page" */

/**
 * Changes the plan. Successive changes with the same `key` (typing in one field) are one undo step, which `what` names. The first change of the
 * example makes an own plan of it. A change that the core refuses is reverted, and the refusal thrown.
 * @type {(what: string, key: string | null, alter: (draft: Draft) => unknown) => boolean | "own"}
 */
export function changePlan(what, key, alter) {
  if (open.mode === "friend") return false;
  const example = open.mode === "example" ? toPlan(open.draft) : null;
  const before = lastAccepted();
  detectClash();
  const step = !example && (key === null || key !== undoState.group);
  if (example) beginOwn(what, { ...open.draft, invented: false }, EXAMPLE);
  else if (step) past.add(ownId(), undoState.steps, { what, was: /** @type {Kept} */ (record()) }, !open.clash);
  undoState.group = key;
  // A changed plan has an id, by which it is recognised.
  open.draft.id = open.id;
  try {
    alter(open.draft);
    save();
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    revert(example, step, before);
    throw error;
  }
  return example ? "own" : true;
}

/** @type {(example: Plan | null, step: boolean, before: Kept | null) => unknown} */
function revert(example, step, before) {
  undoState.group = null;
  if (example) {
    store.forget(ownId());
    return openOther(EXAMPLE, example);
  }
  if (step) past.take(ownId(), undoState.steps);
  const { clash, raw, kept } = open;
  restore(/** @type {Kept} */ (before));
  return Object.assign(open, { clash, raw, kept });
}

/** Ends the undo step: the next change begins another. */
export const endStep = () => {
  undoState.group = null;
};

/**
 * The name of the change that an undo would revert, or `null`.
 * @type {() => string | null}
 */
export const undoable = () => (open.mode === "own" ? (undoState.steps.at(-1)?.what ?? null) : null);

/**
 * Reverts the last change; returns its name, and whether the example is to be shown.
 * @type {() => { what: string, example: boolean } | null}
 */
export function undo() {
  detectClash();
  const last = open.mode === "own" ? past.take(open.id, undoState.steps) : null;
  if (!last) return null;
  undoState.group = null;
  if (last.born) {
    store.forget(ownId());
    return { what: last.what, example: last.back === EXAMPLE || !openOwn(last.back) };
  }
  if (last.both) reopenClash(last.both);
  else {
    const { clash, raw, id } = open;
    // An unreadable step is skipped.
    if (!last.was || !tryRestore(last.was)) return undo();
    Object.assign(open, { clash, raw, id });
    open.draft.id = id;
    save();
  }
  return { what: last.what, example: false };
}
