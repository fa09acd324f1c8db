// The racks of a draft: added, copied, moved, removed.

import { asTyped, most } from "../core.js";
import { emptyRack, enter } from "./draft.js";
import { toPlan } from "./format.js";
import { open } from "./plan.js";

/** @import { Draft, Entries, Entry } from "../../types/page" */

/**
 * Whether a plan holds as many racks as one may.
 * @type {(draft?: Draft) => boolean}
 */
export const isFull = (draft = open.draft) => draft.racks.length >= most.racks;

/** @type {(draft: Draft) => boolean} */
const noneShown = (draft) => !draft.racks[draft.chosen];

/**
 * Adds an empty rack. It becomes the one shown only if there was none.
 * @type {(draft: Draft) => void}
 */
export function addRack(draft) {
  const first = noneShown(draft);
  draft.racks.push(emptyRack());
  if (first) draft.chosen = draft.racks.length - 1;
}

/**
 * Inserts a copy of a rack after it, without its mark; the rack that is shown stays the same.
 * @type {(draft: Draft, i: number, name: string) => void}
 */
export function copyRack(draft, i, name) {
  const first = noneShown(draft);
  draft.racks.splice(i + 1, 0, { ...structuredClone(draft.racks[i]), name, mark: null });
  if (first) draft.chosen = i + 1;
  else if (draft.chosen > i) draft.chosen += 1;
}

/**
 * Alters which racks there are, or their order. Values that a rack had carried over from another one, and no longer would, are entered in it. A
 * value is carried over from the nearest rack before, else after: so one entered here also serves the racks after it.
 * @type {(draft: Draft, alter: (draft: Draft) => unknown) => void}
 */
export function reshape(draft, alter) {
  const before = new Map(asTyped(toPlan(draft)).racks.map((seen, i) => [draft.racks[i], seen.fields]));
  alter(draft);
  /** @type {(a: Entry | undefined, b: Entry) => boolean} */
  const sameEntry = (a, b) => a?.text === b.text && a.unit === b.unit && a.side === b.side;
  // Normally one pass is enough; another finds what its entries have changed for other racks.
  for (let changed = true, tries = 0; changed && tries < 4; tries++) {
    const now = asTyped(toPlan(draft)).racks;
    /** @type {Entries} */
    const written = {};
    changed = false;
    for (const [i, rack] of draft.racks.entries()) {
      for (const [name, was] of Object.entries(before.get(rack) ?? {})) {
        if (was.status !== "carried") {
          delete written[name];
          continue;
        }
        if (rack.entries[name] || sameEntry(written[name] ?? now[i].fields[name], was)) continue;
        written[name] = { text: was.text, unit: was.unit, side: was.side };
        enter(draft, `racks.${i}.${name}`, written[name]);
        changed = true;
      }
    }
  }
}

/**
 * Removes a rack; the rack that is shown stays the same, unless it is the removed one.
 * @type {(draft: Draft, i: number) => void}
 */
export function removeRack(draft, i) {
  draft.racks.splice(i, 1);
  if (draft.chosen > i || draft.chosen >= draft.racks.length) draft.chosen = Math.max(0, draft.chosen - 1);
}

/**
 * Moves a rack by one place.
 * @type {(draft: Draft, i: number, by: number) => boolean}
 */
export function moveRack(draft, i, by) {
  const j = i + by;
  if (j < 0 || j >= draft.racks.length) return false;
  [draft.racks[i], draft.racks[j]] = [draft.racks[j], draft.racks[i]];
  if (draft.chosen === i) draft.chosen = j;
  else if (draft.chosen === j) draft.chosen = i;
  return true;
}
