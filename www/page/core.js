// The core: loads the WebAssembly, calls it, and starts it again after a trap.

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
/** @typedef {import("../types/core").PointsView} PointsView */
/** @typedef {import("../types/core").BumpView} BumpView */
/** @typedef {import("../types/core").CornerDrawing} CornerDrawing */
/** @typedef {import("../types/core").PlaceView} PlaceView */
/** @typedef {import("../types/core").Moved} Moved */
/** @typedef {import("../types/core").Refusal} Refusal */

/** The core refused: its message is a sentence for a person. */
export class Refused extends Error {}
/** The core stopped and is being started again. */
export class Stopped extends Error {}

/** @type {Core | null} */
let core = null;
/** @type {WebAssembly.Module | null} */
let compiled = null;
// A second instance of the glue, fetched in advance: a core that traps is replaced at once, by one of the same build.
/** @type {Core | null} */
let spare = null;
let starts = 0;
let stoppedAt = -Infinity;
/** @type {{ revived: () => void, lost: () => void, again: () => void }} */
let callbacks = { revived() {}, lost() {}, again() {} };

/** The most that a plan may hold: `racks`, `name`, `note` and `link` in characters. */
export { most };
/** Rows of the table of measurements, by `section.name`. */
export const table = new Map(fields.map((row) => [`${row.section}.${row.name}`, row]));
const resultTable = new Map(results.map((row) => [row.name, row]));

/**
 * A result's row in the table of results: its label, its formula in words.
 * @param {string} name
 */
export function resultOf(name) {
  const row = resultTable.get(name);
  if (!row) throw new Error(`no result ${name}`);
  return row;
}

/**
 * Loads the core. `revived` is called when it stopped and another took its place without anything lost; `lost` when there is
 * no other yet; `again` when that has come.
 * @param {typeof callbacks} calls
 */
export async function load(calls) {
  callbacks = calls;
  const [glue, module] = await Promise.all([import("./donorack.js"), compile()]);
  compiled = module;
  await glue.default({ module_or_path: compiled });
  core = glue;
  fetchSpare().catch(() => {});
}

async function compile() {
  const answer = await fetch(new URL("donorack_bg.wasm", import.meta.url));
  // Without the type application/wasm streaming fails; compiling the whole buffer is only slower.
  return WebAssembly.compileStreaming(answer.clone()).catch(async () => WebAssembly.compile(await answer.arrayBuffer()));
}

async function fetchSpare() {
  starts += 1;
  spare = await import(`./donorack.js?start=${starts}&build=${document.documentElement.dataset.build}`);
}

/** Another core in place of the one that stopped; whether there was one. */
function useSpare() {
  if (!spare) return false;
  spare.initSync({ module: compiled });
  core = spare;
  spare = null;
  fetchSpare().catch(() => {});
  return true;
}

// Fetches another instance where no spare one is ready. After two traps within two seconds it waits for the next keystroke, so that an input that
// traps at once does not restart the core endlessly.
function restart() {
  const often = performance.now() - stoppedAt < 2000;
  stoppedAt = performance.now();
  if (!often)
    fetchSpare().then(
      () => callbacks.again(),
      () => callbacks.lost(),
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
  if (!core && !useSpare()) restart();
  try {
    return attempt(work);
  } catch (error) {
    if (!(error instanceof Stopped)) throw error;
  }
  // Repeated with the new instance, so that the keystroke is not lost.
  if (!useSpare()) restart();
  const answer = attempt(work);
  callbacks.revived();
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
    // Anything but a refusal is a programming error and is passed on as it is.
    throw isRefusal(error) ? new Refused(error.says) : error;
  }
}

/**
 * @param {unknown} thrown
 * @returns {thrown is Refusal}
 */
function isRefusal(thrown) {
  const { refused, says } = /** @type {Partial<Refusal>} */ (thrown ?? {});
  return typeof refused === "string" && typeof says === "string";
}

// A plan as JSON text, which the core reads. A lone surrogate, left where a name was cut, becomes U+FFFD.
const ESCAPE = /\\(?:u[dD][89a-fA-F][\da-fA-F]{2}|.)/g;
const toJson = (/** @type {object} */ plan) =>
  (JSON.stringify(plan) ?? "").replace(ESCAPE, (spelt) => (spelt.length > 2 ? "\ufffd" : spelt));

// The session, the core that it belongs to, the text of the plan that is open in it, and its last view.
/** @type {{ core: Core | null, session: Session | null, text: string | null, view: View | null }} */
const current = { core: null, session: null, text: null, view: null };

/**
 * The session of this core, with the plan of this text open in it; another core gets a session of its own.
 * @param {Core} core
 * @param {string} text
 * @returns {Session}
 */
function sessionOf(core, text) {
  if (current.core !== core) Object.assign(current, { core, session: new core.Session(), text: null, view: null });
  const session = /** @type {Session} */ (current.session);
  if (current.text !== text) {
    session.open(text);
    Object.assign(current, { text, view: null });
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
function withSession(plan, ask) {
  const text = toJson(plan);
  return run((core) => ask(sessionOf(core, text)));
}

/**
 * Everything that follows from a plan. What is stored, shown and moved asks the same more than once: only a plan that changed is worked out,
 * and of that only what the change touches; a rack that is as it was is the same object.
 * @param {object} plan
 * @returns {View}
 */
export const evaluate = (plan) => withSession(plan, (session) => (current.view ??= session.evaluate()));

const FEW = 8; // racks that are worked out at once
const SLICE = 30; // ms without a pause

/**
 * Whether a plan has too many racks to be worked out at once.
 * @param {{ racks?: object[] }} plan
 */
export const hasMany = (plan) => (plan.racks?.length ?? 0) > FEW;

/**
 * Works a plan of many racks out in slices, so that nothing stands still meanwhile and `evaluate` is quick afterwards; ends early where it is
 * not `wanted` any more. `null` where the racks are few, or the core refuses the plan: `evaluate` takes no pause then.
 * @param {{ racks?: object[] }} plan
 * @param {() => boolean} [wanted]
 * @returns {Promise<void> | null}
 */
export function prepare(plan, wanted = () => true) {
  if (!hasMany(plan)) return null;
  const racks = plan.racks?.length ?? 0;
  const text = toJson(plan);
  let next = 0;
  const work = () => {
    const start = performance.now();
    for (; next < racks; next += 1) {
      if (performance.now() - start > SLICE) return wanted();
      run((core) => sessionOf(core, text).prepare(next));
    }
    return false;
  };
  /** @type {(done: () => void) => void} */
  const on = (done) => void setTimeout(() => (unlessRefused(work) ? on(done) : done()));
  return unlessRefused(work) ? new Promise(on) : null;
}

/**
 * What `work` returns; false where the core refuses or stops, which whoever evaluates says.
 * @type {(work: () => boolean) => boolean}
 */
function unlessRefused(work) {
  try {
    return work();
  } catch (error) {
    if (error instanceof Refused || error instanceof Stopped) return false;
    throw error;
  }
}

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
  return withSession(plan, (session) => {
    if (current.view) return current.view;
    const { rack, ...first } = session.evaluate_first();
    const parts = before.parts.map((part) => first.parts.find((one) => one.part === part.part) ?? part);
    return { ...before, ...first, parts, racks: before.racks.map((held, i) => (i === first.chosen && rack ? rack : held)), pending: true };
  });
}

/**
 * A plan's fields as they were typed: `car`, `limits`, `racks`, without anything that follows from them.
 * @type {(plan: object) => Typed}
 */
export const asTyped = (plan) => run((core) => core.as_typed(toJson(plan)));
/**
 * Throws the reason where the core refuses a plan.
 * @type {(plan: object) => void}
 */
export const check = (plan) => run((core) => core.check_plan(toJson(plan)));
/**
 * A field's text in another of its units; `null` where the conversion is not exact.
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
export const encodeLink = (plan) => run((core) => core.encode_link(toJson(plan)));
/**
 * The plan of a link.
 * @type {(fragment: string) => Plan}
 */
export const decodeLink = (fragment) => run((core) => core.decode_link(fragment));
/**
 * What a figure rests on; `side` is 0 for the only or the left one. `null` where there is no figure.
 * @type {(plan: object, rack: number, name: string, side: number) => Explained | null}
 */
export const explain = (plan, rack, name, side) => withSession(plan, (session) => session.explain(rack, name, side));
/**
 * What to look for before the trip, from the car alone.
 * @type {(plan: object) => BuyingGuide}
 */
export const lookFor = (plan) => withSession(plan, (session) => session.look_for());
/**
 * How the points of the suspension stand.
 * @type {(plan: object, rack: number) => PointsView}
 */
export const points = (plan, rack) => withSession(plan, (session) => session.points(rack));
/**
 * Both wheels over bumps, at a share of the rack's usable travel.
 * @type {(plan: object, rack: number, share: number) => BumpView}
 */
export const overBumps = (plan, rack, share) => withSession(plan, (session) => session.over_bumps(rack, share));
/**
 * One corner (0 left, 1 right) at a wheel travel in mm; throws `Refused` where it does not get there.
 * @type {(plan: object, rack: number, side: number, travel: number, share: number) => CornerDrawing}
 */
export const corner = (plan, rack, side, travel, share) => withSession(plan, (session) => session.corner(rack, side, travel, share));
/**
 * A typed wheel travel in mm; throws `Refused` with what is wrong with it.
 * @type {(text: string, unit: string, side: string) => number}
 */
export const typedTravel = (text, unit, side) => run((core) => core.typed_travel(text, unit, side));
/**
 * Where a rack may go: `middle` of the map, mm, NaN for where the rack is; `near` half as far, null as the core opens it.
 * @type {(plan: object, rack: number, middle: number[], near: boolean | null, inch: boolean) => PlaceView}
 */
export const place = (plan, rack, [ahead, up], near, inch) =>
  withSession(plan, (session) => session.place(rack, ahead, up, near ?? undefined, inch));
/**
 * What moves a rack from a place to another, mm.
 * @type {(plan: object, from: number[], ahead: number, up: number) => Moved}
 */
export const moved = (plan, from, ahead, up) => withSession(plan, (session) => session.moved(new Float64Array(from), ahead, up));
/**
 * Draws a layer of the map that was asked for last; returns the axes' pixel positions.
 * @type {(rack: number, layer: number, was: number[], plan: object | null, canvas: HTMLCanvasElement, ...size: [number, number, number, object]) => Chart}
 */
export const drawPlace = (rack, layer, was, plan, canvas, ...size) =>
  (plan && withSession(plan, (session) => session.draw_place(rack, layer, new Float64Array(was), canvas, ...size))) ?? {
    unnamed: [],
    ground: [],
  };
/**
 * Draws toe over bumps; returns the axes' pixel positions.
 * @type {(...given: ChartCall) => Chart}
 */
export const drawBumpSteer = (...given) => run((core) => core.draw_bump_steer(...given));
/**
 * Draws toe-out on turns; returns which lines had no room for their label, and the axes' pixel positions.
 * @type {(...given: ChartCall) => Chart}
 */
export const drawToeOut = (...given) => run((core) => core.draw_toe_out(...given));
/**
 * Draws the ratio over the turn; returns the axes' pixel positions.
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
    this.#text = toJson(plan);
    this.#rack = rack;
  }

  /**
   * Asks the axle; throws `Refused` with the reason where there is no linkage, or no such position.
   * @template T
   * @param {(axle: Axle) => T} question
   * @returns {T}
   */
  ask(question) {
    return run((core) => {
      if (this.#home !== core || !this.#axle) this.#axle = sessionOf(core, this.#text).axle(this.#rack);
      this.#home = core;
      return question(this.#axle);
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
