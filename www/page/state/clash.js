// A clash: two tabs hold different versions of one plan, and a person chooses between them.

import { encodeLink } from "../core.js";
import * as past from "./past.js";
import { open, ownId, undoState } from "./plan.js";
import { newId, record, restore, save } from "./record.js";
import * as store from "./store.js";

/** @import { Kept } from "../../types/page" */

/**
 * Ends a clash: "theirs" opens what the other tab wrote, "mine" keeps this tab's version, "both" makes this tab's version a separate plan. One
 * undo restores the version that was dropped. Returns `false` where the other tab's version no longer exists.
 * @type {(way: string, what: string, name: string) => boolean}
 */
export function settleClash(way, what, name) {
  const [mine, theirs] = [/** @type {Kept} */ (record()), store.record(open.id)];
  // The other tab may have changed the plan and removed it after that.
  const lost = open.clash === "removed" || theirs === null;
  // If the core refuses it, nothing has changed yet.
  if (way === "theirs" && !lost) encodeLink(theirs.plan);
  open.clash = "";
  store.aside(null);
  undoState.group = null;
  if (way === "theirs" && lost) return false;
  if (way === "both") {
    const old = { id: mine.id, name: open.draft.name };
    Object.assign(open, { id: newId(), raw: null, draft: { ...open.draft, name } });
    open.draft.id = open.id;
    past.writeAll(ownId(), undoState.steps);
    past.add(ownId(), undoState.steps, { what, both: old });
  } else {
    if (lost) past.writeAll(ownId(), undoState.steps);
    else undoState.steps = past.read(ownId());
    if (theirs) past.add(ownId(), undoState.steps, { what, was: way === "mine" ? theirs : mine });
  }
  if (way === "theirs" && theirs) restore(theirs);
  else open.raw = null;
  save();
  return true;
}

/**
 * Undoes the choice of "both": the separate plan becomes this tab's version of plan `id` again, and the clash is open again.
 * @type {(split: { id: string, name: string }) => void}
 */
export function reopenClash({ id, name }) {
  store.forget(ownId());
  const raw = store.raw(id);
  Object.assign(open, { id, raw, clash: store.record(id) ? "changed" : "removed", draft: { ...open.draft, id, name } });
  store.noteOpen(id);
  save();
}
