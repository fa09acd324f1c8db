// The core: loads the WebAssembly, calls it, and starts it again should it ever stop.

import { fields, most, results } from "./tables.js";

/** The core refused: its message is a sentence for a person. */
export class Refused extends Error {}
/** The core stopped and is being started again. */
export class Stopped extends Error {}

let core = null;
let compiled = null;
// The glue for another start, fetched beforehand: a core that stops is replaced at once, and by one of the same build.
let spare = null;
let starts = 0;
let stopped = -Infinity;
let when = {};

/** The most that a plan may hold: `racks`, `name`, `note` and `link` in characters. */
export { most };
/** Rows of the table of measurements, by `section.name`. */
export const table = new Map(fields.map((row) => [`${row.section}.${row.name}`, row]));
/** Rows of the table of results, by name: what it is called, its formula in words. */
export const resultTable = new Map(results.map((row) => [row.name, row]));

/**
 * Loads the core. `revived` is called when it stopped and another took its place without anything lost; `lost` when there is
 * no other yet; `again` when that has come.
 */
export async function load(calls) {
  when = calls;
  const [glue, module] = await Promise.all([import("./donorack.js"), compile()]);
  compiled = module;
  await glue.default({ module_or_path: compiled });
  core = glue;
  prepare().catch(() => {});
}

async function compile() {
  const answer = await fetch(new URL("donorack_bg.wasm", import.meta.url));
  // A host that names another type than application/wasm only makes it slower.
  return WebAssembly.compileStreaming(answer.clone()).catch(async () => WebAssembly.compile(await answer.arrayBuffer()));
}

async function prepare() {
  starts += 1;
  spare = await import(`./donorack.js?start=${starts}&build=${document.documentElement.dataset.build}`);
}

/** Another core in place of the one that stopped; whether there was one. */
function revive() {
  if (!spare) return false;
  spare.initSync({ module: compiled });
  core = spare;
  spare = null;
  prepare().catch(() => {});
  return true;
}

// No spare one: fetches it. What stops a core straight away would do so for ever: then the next key starts it.
function mourn() {
  const often = performance.now() - stopped < 2000;
  stopped = performance.now();
  if (!often)
    prepare().then(
      () => when.again(),
      () => when.lost(),
    );
  throw new Stopped();
}

// Runs something in the core that there is.
function run(work) {
  if (!core && !revive()) mourn();
  try {
    return attempt(work);
  } catch (error) {
    if (!(error instanceof Stopped)) throw error;
  }
  // Once more with a fresh one: what was typed meets no gap.
  if (!revive()) mourn();
  const answer = attempt(work);
  when.revived();
  return answer;
}

function attempt(work) {
  try {
    return work(core);
  } catch (error) {
    if (!(error instanceof WebAssembly.RuntimeError))
      throw new Refused(typeof error === "string" ? error : (error?.message ?? String(error)));
    core = null;
    throw new Stopped();
  }
}

const call = (name, ...given) => run((core) => core[name](...given));

const evaluated = new Map();
const KEPT = 4;

/** Everything that follows from a plan. The last few answers are kept: what is stored, shown and moved asks the same more than once. */
export function evaluate(plan) {
  const text = JSON.stringify(plan);
  const view = evaluated.get(text) ?? call("evaluate", plan);
  evaluated.delete(text);
  evaluated.set(text, view);
  if (evaluated.size > KEPT) evaluated.delete(evaluated.keys().next().value);
  return view;
}

/**
 * Like `evaluate`, at once for the car and the rack that is shown. The other racks, and what compares them, stand as in `before`, an earlier
 * answer of the same racks; then the answer is `pending`.
 */
export function evaluateFirst(plan, before) {
  const racks = plan.racks?.length ?? 0;
  if (racks < 2 || before?.racks.length !== racks || evaluated.has(JSON.stringify(plan))) return evaluate(plan);
  const first = call("evaluate_first", plan);
  const parts = before.parts.map((part) => first.parts.find((one) => one.part === part.part) ?? part);
  return { ...before, ...first, parts, racks: before.racks.map((rack, i) => (i === first.chosen ? first.rack : rack)), pending: true };
}

/** A plan's fields as they were typed: `car`, `limits`, `racks`, without anything that follows from them. */
export const asTyped = (plan) => call("as_typed", plan);
/** Throws the reason where the core refuses a plan. */
export const check = (plan) => call("check_plan", plan);
/** What stands in a field, written in another of its units; nothing where that is not exact. */
export const inUnit = (section, name, text, unit, other) => call("in_unit", section, name, text, unit, other) ?? null;
/** The plan of a file's text. */
export const readPlan = (text) => call("read_plan", text);
/** The link of a plan, without `#`. */
export const encodeLink = (plan) => call("encode_link", plan);
/** The plan of a link. */
export const decodeLink = (fragment) => call("decode_link", fragment);
/** What a figure rests on, `side` 0 the only or the left one; nothing where there is no figure. */
export const explain = (plan, rack, name, side) => call("explain", plan, rack, name, side);
/** What to look for before the trip, from the car alone. */
export const lookFor = (plan) => call("look_for", plan);
/** Draws toe-out on turns; tells which lines found no room for their name, and where a value lies. */
export const drawToeOut = (...given) => call("draw_toe_out", ...given);
/** Draws the ratio over the turn; tells where a value lies. */
export const drawRatio = (...given) => call("draw_ratio", ...given);

/** One rack of one plan kept ready in the core, to be put at any place of its travel; a core that took another's place makes it anew. */
export class Moving {
  #plan;
  #rack;
  #axle = null;
  #home = null;

  constructor(plan, rack) {
    this.#plan = plan;
    this.#rack = rack;
  }

  /** Asks it; refused with the reason where there is no linkage, or no such place. */
  ask(name, ...given) {
    return run((core) => {
      if (this.#home !== core) this.#axle = new core.Axle(this.#plan, this.#rack);
      this.#home = core;
      return this.#axle[name](...given);
    });
  }

  free() {
    if (this.#axle && this.#home === core) this.#axle.free();
    this.#axle = null;
    this.#home = null;
  }
}

const composed = new Map();

/** What was typed in one field as the plan writes it; empty when nothing was. */
export function compose(section, name, text, unit, side) {
  const key = [section, name, text, unit, side].join("\n");
  let form = composed.get(key);
  if (form === undefined) {
    form = call("compose", section, name, text, unit, side);
    if (composed.size > 5000) composed.clear();
    composed.set(key, form);
  }
  return form;
}
