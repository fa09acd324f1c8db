// A draft: a plan as it is being typed. For each field it holds a text, a unit and a side; the core alone reads what they mean.

import { table } from "../core.js";

/** @import { FieldRow } from "../../types/core" */
/** @import { Draft, DraftRack, Entries, Entry, Place } from "../../types/page" */

/**
 * An empty plan with one empty rack.
 * @returns {Draft}
 */
export function blank() {
  return { id: null, name: "", invented: false, car: {}, limits: {}, racks: [emptyRack()], chosen: 0, spacing: null, newer: null };
}

/**
 * A rack without any entry.
 * @type {() => DraftRack}
 */
export function emptyRack() {
  return { name: "", note: "", mark: null, entries: {}, travelBy: null, newer: null };
}

/** @type {Map<string, Place>} */
const places = new Map();

/**
 * The section, rack and field that a path names: `car.wheelbase`, `racks.0.travel`, `limits.reserve`.
 * @type {(path: string) => Place}
 */
export function parse(path) {
  if (!places.has(path)) {
    const [section, a, b] = path.split(".");
    const place = section === "racks" ? { section: "rack", rack: Number(a), name: b } : { section, rack: null, name: a };
    places.set(path, /** @type {Place} */ (place));
  }
  return /** @type {Place} */ (places.get(path));
}

/**
 * The row of the table for a path.
 * @type {(path: string) => FieldRow | undefined}
 */
export const spec = (path) => table.get(`${parse(path).section}.${parse(path).name}`);

/**
 * The same; throws where the path names no field.
 * @type {(path: string) => FieldRow}
 */
export function fieldOf(path) {
  const row = spec(path);
  if (!row) throw new Error(`no field ${path}`);
  return row;
}

/**
 * The entries of the section or rack that a path leads into.
 * @type {(draft: Draft, path: string) => Entries}
 */
export function entriesAt(draft, path) {
  const { section, rack } = parse(path);
  // A focused field can outlive its rack.
  return section !== "rack" ? draft[section] : (draft.racks[rack]?.entries ?? {});
}

const EMPTY = { text: "", unit: "", side: "" };

/**
 * Changes a field's entry; an entry that becomes empty is deleted.
 * @type {(draft: Draft, path: string, change: Partial<Entry>) => void}
 */
export function enter(draft, path, change) {
  const entries = entriesAt(draft, path);
  const name = parse(path).name;
  const next = { ...EMPTY, ...entries[name], ...change };
  if (next.text === "" && next.unit === "" && next.side === "") delete entries[name];
  else entries[name] = next;
}

/**
 * The paths of all entries.
 * @type {(draft: Draft) => Generator<string>}
 */
export function* entryPaths(draft) {
  for (const section of /** @type {const} */ (["car", "limits"]))
    for (const name of Object.keys(draft[section])) yield `${section}.${name}`;
  for (const [i, rack] of draft.racks.entries()) for (const name of Object.keys(rack.entries)) yield `racks.${i}.${name}`;
}
