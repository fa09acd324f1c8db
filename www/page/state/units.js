// Units: those that results are read in, and the one that a field shows.

import { enter, entryPaths, fieldOf } from "./draft.js";
import { entry, open } from "./plan.js";
import * as store from "./store.js";

/** @import { Draft, Units } from "../../types/page" */

const KEY = "donorack.units";

/** @type {Units} */
let units =
  /** @type {const} */ (["mm", "inch"]).find((known) => known === store.read(KEY)) ?? (navigator.language === "en-US" ? "inch" : "mm");

/**
 * The units that results are read in.
 * @type {() => Units}
 */
export const readUnits = () => units;

/**
 * Of the units that a field can have, the one for an entry without a unit.
 * @type {(units: readonly string[]) => string}
 */
export const defaultUnit = (units) => units[units.length > 1 && readUnits() === "inch" ? 1 : 0] || "";

/**
 * The unit a field shows now.
 * @type {(path: string) => string}
 */
export function unitOf(path) {
  return entry(path)?.unit || defaultUnit(fieldOf(path).units);
}

/**
 * Sets the units of the results, and of empty fields.
 * @type {(next: Units) => void}
 */
export function setUnits(next) {
  // A number without a unit of its own keeps the one that was shown beside it.
  for (const path of entryPaths(open.draft))
    if (entry(path)?.text !== "" && !entry(path)?.unit) enter(open.draft, path, { unit: unitOf(path) });
  units = next;
  store.write(KEY, next);
}

/**
 * Deletes the units of empty fields: of one, or of all.
 * @type {(draft: Draft, path?: string | null) => void}
 */
export function forgetUnits(draft, path = null) {
  for (const one of path ? [path] : entryPaths(draft)) if (entry(one, draft)?.text === "") enter(draft, one, { unit: "" });
}
