// The undo steps of a plan, a record each in local storage. The last one holds the whole plan, each earlier one only its difference from the
// next: a keystroke writes one small record, and a hundred steps take little more room than the plan.

import * as check from "./check.js";
import { difference, patched } from "./patch.js";
import * as store from "./store.js";

/** @import { Json, Kept, NumberedStep, Step } from "../../types/page" */

const STEPS = 100;

/**
 * The stored undo steps of a plan, the last one at the end. Steps that the chain of differences no longer reaches are deleted.
 * @param {string} id
 * @returns {NumberedStep[]}
 */
export function read(id) {
  const steps = [];
  for (const [n, text] of [...store.steps(id)].reverse()) {
    const step = check.step(check.json(text));
    const next = steps[0];
    if (step && (!step.delta || (next?.n === step.next && (next.was || next.delta)))) steps.unshift({ n, ...step });
    else store.dropStep(id, n);
  }
  return steps.length ? steps : readOldFormat(id);
}

// Earlier versions kept all steps in one record.
/**
 * @param {string} id
 * @returns {NumberedStep[]}
 */
function readOldFormat(id) {
  const held = check.json(store.oldSteps(id));
  if (!Array.isArray(held)) return [];
  /** @type {NumberedStep[]} */
  const steps = [];
  for (const step of held.map(check.step)) if (step && !step.delta) add(id, steps, step, false);
  store.dropOldSteps(id);
  writeAll(id, steps);
  return steps;
}

/** @type {(step: NumberedStep) => string} */
const toJson = ({ n, ...step }) => JSON.stringify(step);

/**
 * Adds a step; one that is not `kept` is held in memory only.
 * @param {string} id
 * @param {NumberedStep[]} steps
 * @param {Step} step
 */
export function add(id, steps, step, kept = true) {
  const before = steps.at(-1);
  /** @type {NumberedStep} */
  const now = { ...step, n: Math.max(Date.now(), (before?.n ?? 0) + 1) };
  steps.push(now);
  const done = kept && store.keepStep(id, now.n, toJson(now));
  if (before?.was && now.was) {
    const less = { what: before.what, n: before.n, delta: difference(now.was, before.was), next: now.n };
    steps[steps.length - 2] = less;
    // If the new step could not be stored, the one before stays stored in full.
    if (done) store.keepStep(id, before.n, toJson(less));
  }
  for (const old of steps.splice(0, steps.length - STEPS)) store.dropStep(id, old.n);
}

/**
 * Removes and returns the last step, or `null`.
 * @param {string} id
 * @param {NumberedStep[]} steps
 * @returns {NumberedStep | null}
 */
export function take(id, steps) {
  const step = steps.pop();
  if (!step) return null;
  store.dropStep(id, step.n);
  const below = steps.at(-1);
  if (below?.delta) {
    const was = patchedRecord(step.was, below);
    if (was) {
      const whole = { what: below.what, n: below.n, was };
      steps[steps.length - 1] = whole;
      store.keepStep(id, below.n, toJson(whole));
    } else {
      // A damaged step makes the steps before it, which are differences from it, unusable.
      let last = steps.at(-1);
      while (last?.delta) {
        store.dropStep(id, last.n);
        steps.pop();
        last = steps.at(-1);
      }
    }
  }
  return step;
}

/**
 * @param {Json} from
 * @param {Step} step
 * @returns {Kept | null}
 */
function patchedRecord(from, { delta = {} }) {
  try {
    return check.record(patched(from, delta));
  } catch {
    return null;
  }
}

/**
 * Stores all steps of a plan again, the last one first: where room runs out, the oldest are missing.
 * @param {string} id
 * @param {NumberedStep[]} steps
 */
export function writeAll(id, steps) {
  for (const step of [...steps].reverse()) if (!store.keepStep(id, step.n, toJson(step))) break;
}

/**
 * Adds a step to a plan that is not open.
 * @type {(id: string, step: Step) => void}
 */
export const addTo = (id, step) => add(id, read(id), step);

/** Takes over the list of removed plans that earlier versions kept. */
export function migrate() {
  const held = check.json(store.oldGone());
  if (!Array.isArray(held)) return;
  const left = [];
  store.dropOldGone();
  for (const [i, one] of held.entries()) {
    const record = check.record(one?.held);
    // A plan that exists under the same id is newer.
    if (!record || store.raw(record.id) !== null) continue;
    if (!store.keepAway(record, Date.now() - i)) left.push(one);
    else if (Array.isArray(one.past)) for (const step of one.past.map(check.step)) if (step && !step.delta) addTo(record.id, step);
  }
  if (left.length) store.keepOldGone(JSON.stringify(left));
}
