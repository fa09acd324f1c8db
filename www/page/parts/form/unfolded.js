// What is unfolded on the form, and which racks' cards have their fields: both go with their rack.

import { open } from "../../state/plan.js";

/**
 * Which details are open, by key: they stay so when the form is built anew.
 * @type {Set<string>}
 */
export const unfolded = new Set();
/**
 * The racks whose cards have their fields: a card gets them when it is first unfolded, for of sixty-four racks most never are.
 * @type {Set<number>}
 */
export const filled = new Set();

/**
 * The key of a rack's card.
 * @type {(i: number) => string}
 */
export const rackKey = (i) => `rack-${i}`;

// The racks as they were last shown, each as a text: by that a card is known again in another place.
/** @type {string[]} */
let shownRacks = [];
const rackTexts = () => open.draft.racks.map(({ name, entries }) => JSON.stringify([name, entries]));

/** What was unfolded goes with its rack when racks come, go or change places. */
export function followRacks() {
  const now = rackTexts();
  const free = new Set(shownRacks.keys());
  /** @type {(number | undefined)[]} */
  const from = now.map((text, i) => (shownRacks[i] === text && free.delete(i) ? i : undefined));
  const match = (/** @type {(old: number, i: number) => boolean} */ same) => {
    for (const i of now.keys()) {
      from[i] ??= [...free].find((old) => same(old, i));
      free.delete(from[i] ?? -1);
    }
  };
  match((old, i) => shownRacks[old] === now[i]);
  match((old, i) => old === i);
  const [wereFilled, wereUnfolded] = [new Set(filled), new Set(unfolded)];
  for (const i of Array(Math.max(now.length, shownRacks.length)).keys()) {
    const old = from[i];
    if (old !== undefined && wereFilled.has(old)) filled.add(i);
    else filled.delete(i);
    for (const tail of ["", "-fitted", "-more"])
      if (old !== undefined && wereUnfolded.has(rackKey(old) + tail)) unfolded.add(rackKey(i) + tail);
      else unfolded.delete(rackKey(i) + tail);
  }
  shownRacks = now;
}

/** The racks are shown as they are now. */
export const rememberRacks = () => {
  shownRacks = rackTexts();
};

/** Nothing is unfolded: for a plan that was not open before. */
export function forgetAll() {
  unfolded.clear();
  filled.clear();
  shownRacks = [];
}
