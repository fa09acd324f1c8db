// The plan that is open, and its undo steps.

import { blank, entriesAt, parse } from "./draft.js";

/** @import { Draft, Entry, NumberedStep, OpenPlan } from "../../types/page" */

/**
 * The open plan: `mode` is "own", "example" or "friend"; `raw` the own plan's record as this tab last read or wrote it; `kept` whether the
 * record holds every change; `clash` whether another tab has "changed" or "removed" the record since.
 * @type {OpenPlan}
 */
export const open = /** @type {OpenPlan} */ ({ mode: "example", id: null, draft: blank(), raw: null, kept: true, clash: "" });

/**
 * The id of the open plan, where that is an own one.
 * @type {() => string}
 */
export const ownId = () => /** @type {string} */ (open.id);

/**
 * The undo steps of the open plan, the last one at the end, and the key that the next change must have to belong to the last step.
 * @type {{ steps: NumberedStep[], group: string | null }}
 */
export const undoState = { steps: [], group: null };

/**
 * What was typed or chosen in a field of the open plan, or of another draft; `null` for nothing.
 * @type {(path: string, draft?: Draft) => Entry | null}
 */
export const entry = (path, draft = open.draft) => entriesAt(draft, path)[parse(path).name] ?? null;
