// The core: loads the WebAssembly, calls it, and starts it again should it ever stop.

import { fields, most, results } from "./tables.js";

/** @typedef {typeof import("./donorack.js")} Core the glue of a core that runs */
/** @typedef {import("./donorack.js").Session} Session */
/** @typedef {import("./donorack.js").Axle} Axle */
/** @typedef {import("./donorack.js").Plan} Plan */
/** @typedef {import("./donorack.js").Chart} Chart */
/** @typedef {import("./donorack.js").ChartCall} ChartCall */
/** @typedef {import("../types/core").View} View */
/** @typedef {import("../types/core").Typed} Typed */
/** @typedef {import("../types/core").Explained} Explained */
/** @typedef {import("../types/core").BuyingGuide} BuyingGuide */
/** @typedef {import("../types/core").Refusal} Refusal */

/** The core refused: its message is a sentence for a person. */
export class Refused extends Error {}
/** The core stopped and is being started again. */
export class Stopped extends Error {}

/** @type {Core | null} */
let core = null;
/** @type {WebAssembly.Module | null} */
let compiled = null;
// The glue for another start, fetched beforehand: a core that stops is replaced at once, and by one of the same build.
/** @type {Core | null} */
let spare = null;
let starts = 0;
let stopped = -Infinity;
/** @type {{ revived: () => void, lost: () => void, again: () => void }} */
let when = { revived() {}, lost() {}, again() {} };

/** The most that a plan may hold: `racks`, `name`, `note` and `link` in characters. */
export { most };
/** Rows of the table of measurements, by `section.name`. */
export const table = new Map(fields.map((row) => [`${row.section}.${row.name}`, row]));
/** Rows of the table of results, by name: what it is called, its formula in words. */
export const resultTable = new Map(results.map((row) => [row.name, row]));

/**
 * Loads the core. `revived` is called when it stopped and another took its place without anything lost; `lost` when there is
 * no other yet; `again` when that has come.
 * @param {typeof when} calls
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

/**
 * Runs something in the core that there is.
 * @template T
 * @param {(core: Core) => T} work
 * @returns {T}
 */
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

/**
 * @template T
 * @param {(core: Core) => T} work
 * @returns {T}
 */
function attempt(work) {
  try {
    return work(/** @type {Core} */ (core));
  } catch (error) {
    if (error instanceof WebAssembly.RuntimeError) {
      core = null;
      throw new Stopped();
    }
    // Whatever is no refusal is a mistake of a program, and nobody is told it as theirs.
    throw isRefusal(error) ? new Refused(error.says) : error;
  }
}

/**
 * @param {any} thrown
 * @returns {thrown is Refusal}
 */
function isRefusal(thrown) {
  return typeof thrown?.refused === "string" && typeof thrown.says === "string";
}

// A plan as its file's text, which the core reads. Half a letter, left by a name that was cut, is what a text has in its place.
const half = /\\(?:u[dD][89a-fA-F][\da-fA-F]{2}|.)/g;
const written = (/** @type {object} */ plan) =>
  (JSON.stringify(plan) ?? "").replace(half, (spelt) => (spelt.length > 2 ? "\ufffd" : spelt));

// The core's session, with the text of the plan that is open in it; one of another core has to be opened anew.
/** @type {{ core: Core | null, session: Session | null, text: string | null, view: View | null }} */
const open = { core: null, session: null, text: null, view: null };

/**
 * The session of this core, with the plan of this text open in it.
 * @param {Core} core
 * @param {string} text
 * @returns {Session}
 */
function opened(core, text) {
  if (open.core !== core) Object.assign(open, { core, session: new core.Session(), text: null, view: null });
  const session = /** @type {Session} */ (open.session);
  if (open.text !== text) {
    session.open(text);
    Object.assign(open, { text, view: null });
  }
  return session;
}

/**
 * Asks the session, with this plan open in it.
 * @template T
 * @param {object} plan
 * @param {(session: Session) => T} ask
 * @returns {T}
 */
function within(plan, ask) {
  const text = written(plan);
  return run((core) => ask(opened(core, text)));
}

/**
 * Everything that follows from a plan. What is stored, shown and moved asks the same more than once: only a plan that changed is worked out,
 * and of that only what the change touches; a rack that is as it was is the same object.
 * @param {object} plan
 * @returns {View}
 */
export const evaluate = (plan) => within(plan, (session) => (open.view ??= session.evaluate()));

/**
 * Like `evaluate`, at once for the car and the rack that is shown. The other racks, and what compares them, stand as in `before`, an earlier
 * answer of the same racks; then the answer is `pending`.
 * @param {{ racks?: object[] }} plan
 * @param {View | null | undefined} before
 * @returns {View & { pending?: boolean }}
 */
export function evaluateFirst(plan, before) {
  const racks = plan.racks?.length ?? 0;
  if (racks < 2 || before?.racks.length !== racks) return evaluate(plan);
  return within(plan, (session) => {
    if (open.view) return open.view;
    const { rack, ...first } = session.evaluate_first();
    const parts = before.parts.map((part) => first.parts.find((one) => one.part === part.part) ?? part);
    return { ...before, ...first, parts, racks: before.racks.map((held, i) => (i === first.chosen && rack ? rack : held)), pending: true };
  });
}

/**
 * A plan's fields as they were typed: `car`, `limits`, `racks`, without anything that follows from them.
 * @type {(plan: object) => Typed}
 */
export const asTyped = (plan) => run((core) => core.as_typed(written(plan)));
/**
 * Throws the reason where the core refuses a plan.
 * @type {(plan: object) => void}
 */
export const check = (plan) => run((core) => core.check_plan(written(plan)));
/**
 * What stands in a field, written in another of its units; nothing where that is not exact.
 * @type {(section: string, name: string, text: string, unit: string, other: string) => string | null}
 */
export const inUnit = (section, name, text, unit, other) => run((core) => core.in_unit(section, name, text, unit, other)) ?? null;
/**
 * The plan of a file's text.
 * @type {(text: string) => Plan}
 */
export const readPlan = (text) => run((core) => core.read_plan(text));
/**
 * The link of a plan, without `#`.
 * @type {(plan: object) => string}
 */
export const encodeLink = (plan) => run((core) => core.encode_link(written(plan)));
/**
 * The plan of a link.
 * @type {(fragment: string) => Plan}
 */
export const decodeLink = (fragment) => run((core) => core.decode_link(fragment));
/**
 * What a figure rests on, `side` 0 the only or the left one; nothing where there is no figure.
 * @type {(plan: object, rack: number, name: string, side: number) => Explained | null}
 */
export const explain = (plan, rack, name, side) => within(plan, (session) => session.explain(rack, name, side));
/**
 * What to look for before the trip, from the car alone.
 * @type {(plan: object) => BuyingGuide}
 */
export const lookFor = (plan) => within(plan, (session) => session.look_for());
/**
 * Draws toe-out on turns; tells which lines found no room for their name, and where a value lies.
 * @type {(...given: ChartCall) => Chart}
 */
export const drawToeOut = (...given) => run((core) => core.draw_toe_out(...given));
/**
 * Draws the ratio over the turn; tells where a value lies.
 * @type {(...given: ChartCall) => Chart}
 */
export const drawRatio = (...given) => run((core) => core.draw_ratio(...given));

/** One rack of one plan kept ready in the core, to be put at any place of its travel; a core that took another's place makes it anew. */
export class Moving {
  #text;
  #rack;
  /** @type {Axle | null} */
  #axle = null;
  /** @type {Core | null} */
  #home = null;

  /**
   * @param {object} plan
   * @param {number} rack
   */
  constructor(plan, rack) {
    this.#text = written(plan);
    this.#rack = rack;
  }

  /**
   * Asks it; refused with the reason where there is no linkage, or no such place.
   * @param {"at" | "turn" | "stepped" | "typed"} name
   * @param {any[]} given
   * @returns {any}
   */
  ask(name, ...given) {
    return run((core) => {
      if (this.#home !== core) this.#axle = opened(core, this.#text).axle(this.#rack);
      this.#home = core;
      return /** @type {any} */ (this.#axle)[name](...given);
    });
  }

  free() {
    if (this.#axle && this.#home === core) this.#axle.free();
    this.#axle = null;
    this.#home = null;
  }
}

/** @type {Map<string, string>} */
const composed = new Map();

/**
 * What was typed in one field as the plan writes it; empty when nothing was.
 * @param {string} section
 * @param {string} name
 * @param {string} text
 * @param {string} unit
 * @param {string} side
 * @returns {string}
 */
export function compose(section, name, text, unit, side) {
  const key = [section, name, text, unit, side].join("\n");
  let form = composed.get(key);
  if (form === undefined) {
    form = run((core) => core.compose(section, name, text, unit, side));
    if (composed.size > 5000) composed.clear();
    composed.set(key, form);
  }
  return form;
}
