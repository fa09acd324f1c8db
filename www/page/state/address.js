// The address: the open plan as a link, and what a reload reads from it.

import { decodeLink, encodeLink, most } from "../core.js";
import { fromPlan, toPlan } from "./format.js";
import { changePlan } from "./history.js";
import { open } from "./plan.js";
import * as store from "./store.js";

/** @import { BesideKind, Plan } from "../../types/page" */

/**
 * The open plan's link, without `#`.
 * @type {() => string}
 */
export const link = () => encodeLink(toPlan(open.draft));

/**
 * The fragment of the address for a part of the page: part and plan, or the part alone for the example, and for an own plan whose link is longer
 * than `longest`. The link is encoded once for all parts.
 * @type {() => (part: string, longest?: number) => string}
 */
export function fragments() {
  const plan = open.mode === "example" ? "" : link();
  return (part, longest = most.link) => (plan && (plan.length <= longest || open.mode === "friend") ? `${part}/${plan}` : part);
}

/**
 * Writes a fragment into the address. Called when a field is left or a button pressed, not at a keystroke. `history.state` tells a reload whether
 * the record of an own plan holds every change.
 * @type {(fragment: string) => void}
 */
export function writeAddress(fragment) {
  const stamp = open.raw === null ? null : store.parse(open.id, open.raw)?.stamp;
  const held = open.mode === "own" ? { plan: open.id, kept: open.kept, stamp } : null;
  // An unchanged address is not written again: for a long link that takes the browser tens of milliseconds.
  if (location.hash === `#${fragment}` && JSON.stringify(history.state) === JSON.stringify(held)) return;
  try {
    history.replaceState(held, "", `#${fragment}`);
  } catch (error) {
    // Browsers limit how often this may be called; the next call writes it.
    if (!(error instanceof DOMException) || error.name !== "SecurityError") throw error;
  }
}

/**
 * After a reload where storage had no room for the last changes: the address holds a later plan than the record. `later` becomes the open plan, as
 * a change that can be undone; unless another tab has written the record since. Returns the other version, its link, and which of the two it is.
 * @type {(later: Plan, stamp: string | null | undefined, what: string) => { plan: Plan, link: string, kind: BesideKind }}
 */
export function recover(later, stamp, what) {
  const kept = toPlan(open.draft);
  if ((store.record(open.id)?.stamp ?? null) !== (stamp ?? null)) return { plan: later, link: encodeLink(later), kind: "address" };
  const { spacing } = open.draft;
  changePlan(what, null, () => Object.assign(open.draft, fromPlan(later), { id: open.id, spacing }));
  return { plan: kept, link: encodeLink(kept), kind: "kept" };
}

/**
 * The plan of a link; throws the core's refusal.
 * @type {(fragment: string) => Plan}
 */
export const readLink = (fragment) => decodeLink(fragment);
