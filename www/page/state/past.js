// The steps back of a plan, one record each in this browser. The last one holds the plan as it was, each before it only by what it
// differs from the next: a key writes one small record, and a hundred steps take little more room than the plan.

import * as check from "./check.js";
import { difference, patched } from "./patch.js";
import * as store from "./store.js";

/** @typedef {import("./check.js").Step} Step */
/** @typedef {Step & { n: number }} Numbered a step with its number, which grows */

const STEPS = 100;

/**
 * The steps back that are kept of a plan, the last one at the end. Those to which nothing leads any more are let go.
 * @param {string} id
 * @returns {Numbered[]}
 */
export function read(id) {
  const steps = [];
  for (const [n, text] of [...store.steps(id)].reverse()) {
    const step = check.step(check.json(text));
    const next = steps[0];
    if (step && (!step.delta || (next?.n === step.next && (next.was || next.delta)))) steps.unshift({ n, ...step });
    else store.dropStep(id, n);
  }
  return steps.length ? steps : earlier(id);
}

// Earlier versions kept all steps in one record.
/**
 * @param {string} id
 * @returns {Numbered[]}
 */
function earlier(id) {
  const held = check.json(store.oldSteps(id));
  if (!Array.isArray(held)) return [];
  /** @type {Numbered[]} */
  const steps = [];
  for (const step of held.map(check.step)) if (step && !step.delta) add(id, steps, step, false);
  store.dropOldSteps(id);
  writeAll(id, steps);
  return steps;
}

/** @type {(step: Numbered) => string} */
const text = ({ n, ...step }) => JSON.stringify(step);

/**
 * Adds a step. One that is not `kept` holds as long as the page is open.
 * @param {string} id
 * @param {Numbered[]} steps
 * @param {Step} step
 */
export function add(id, steps, step, kept = true) {
  const before = steps.at(-1);
  /** @type {Numbered} */
  const now = { ...step, n: Math.max(Date.now(), (before?.n ?? 0) + 1) };
  steps.push(now);
  const done = kept && store.keepStep(id, now.n, text(now));
  if (before?.was && now.was) {
    const less = { what: before.what, n: before.n, delta: difference(now.was, before.was), next: now.n };
    steps[steps.length - 2] = less;
    // Where there was no room for the new one the one before stays whole.
    if (done) store.keepStep(id, before.n, text(less));
  }
  for (const old of steps.splice(0, steps.length - STEPS)) store.dropStep(id, old.n);
}

/**
 * Takes the last step, or nothing.
 * @param {string} id
 * @param {Numbered[]} steps
 * @returns {Numbered | null}
 */
export function take(id, steps) {
  const step = steps.pop();
  if (!step) return null;
  store.dropStep(id, step.n);
  const below = steps.at(-1);
  if (below?.delta) {
    const was = made(step.was, below);
    if (was) {
      const whole = { what: below.what, n: below.n, was };
      steps[steps.length - 1] = whole;
      store.keepStep(id, below.n, text(whole));
    } else {
      // What was spoilt costs the steps that hang on it.
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
 * @param {any} from
 * @param {Step} step
 * @returns {import("./check.js").Kept | null}
 */
function made(from, { delta = {} }) {
  try {
    return check.record(patched(from, delta));
  } catch {
    return null;
  }
}

/**
 * Keeps all the steps of a plan anew, the last one first: where room runs out it is the oldest that go.
 * @param {string} id
 * @param {Numbered[]} steps
 */
export function writeAll(id, steps) {
  for (const step of [...steps].reverse()) if (!store.keepStep(id, step.n, text(step))) break;
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
    // A plan of the same name that is there again is the later one.
    if (!record || store.raw(record.id) !== null) continue;
    if (!store.keepAway(record, Date.now() - i)) left.push(one);
    else if (Array.isArray(one.past)) for (const step of one.past.map(check.step)) if (step && !step.delta) addTo(record.id, step);
  }
  if (left.length) store.keepOldGone(JSON.stringify(left));
}
