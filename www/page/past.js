// The steps back of a plan, one record each in this browser. The last one holds the plan as it was, each before it only by what it
// differs from the next: a key writes one small record, and a hundred steps take little more room than the plan.

import * as check from "./check.js";
import { difference, patched } from "./patch.js";
import * as store from "./store.js";

const STEPS = 100;

/** The steps back that are kept of a plan, the last one at the end. Those to which nothing leads any more are let go. */
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
function earlier(id) {
  const held = check.json(store.oldSteps(id));
  if (!Array.isArray(held)) return [];
  const steps = [];
  for (const step of held.map(check.step)) if (step && !step.delta) add(id, steps, step, false);
  store.dropOldSteps(id);
  writeAll(id, steps);
  return steps;
}

const text = ({ n, ...step }) => JSON.stringify(step);

/** Adds a step. One that is not `kept` holds as long as the page is open. */
export function add(id, steps, step, kept = true) {
  const before = steps.at(-1);
  steps.push({ ...step, n: Math.max(Date.now(), (before?.n ?? 0) + 1) });
  const now = steps.at(-1);
  const done = kept && store.keepStep(id, now.n, text(now));
  if (before?.was && now.was) {
    steps[steps.length - 2] = { what: before.what, n: before.n, delta: difference(now.was, before.was), next: now.n };
    // Where there was no room for the new one the one before stays whole.
    if (done) store.keepStep(id, before.n, text(steps.at(-2)));
  }
  while (steps.length > STEPS) store.dropStep(id, steps.shift().n);
}

/** Takes the last step, or nothing. */
export function take(id, steps) {
  const step = steps.pop();
  if (!step) return null;
  store.dropStep(id, step.n);
  const below = steps.at(-1);
  if (below?.delta) {
    const was = made(step.was, below);
    if (was) {
      steps[steps.length - 1] = { what: below.what, n: below.n, was };
      store.keepStep(id, below.n, text(steps.at(-1)));
    } else {
      // What was spoilt costs the steps that hang on it.
      while (steps.at(-1)?.delta) store.dropStep(id, steps.pop().n);
    }
  }
  return step;
}

function made(from, { delta }) {
  try {
    return check.record(patched(from, delta));
  } catch {
    return null;
  }
}

/** Keeps all the steps of a plan anew, the last one first: where room runs out it is the oldest that go. */
export function writeAll(id, steps) {
  for (const step of [...steps].reverse()) if (!store.keepStep(id, step.n, text(step))) break;
}

/** Adds a step to a plan that is not open. */
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
