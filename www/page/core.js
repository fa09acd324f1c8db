// The core: loads the WebAssembly, calls it, and starts it again should it ever stop.

/** The core refused: its message is a sentence for a person. */
export class Refused extends Error {}
/** The core stopped and is being started again. */
export class Stopped extends Error {}

let core = null;
let starts = 0;
let whenRunning = () => {};
let whenLost = () => {};
let starting = null;
let stopped = -Infinity;

/** Rows of the table of measurements, by `section.name`. */
export const table = new Map();
/** Rows of the table of results, by name: what it is called, its formula in words. */
export const resultTable = new Map();

/** Loads the core. `again` is called whenever it has come back after a stop, `lost` when it could not be loaded again. */
export async function load(again, lost) {
  if (again) whenRunning = again;
  if (lost) whenLost = lost;
  // Another start of the same module, and of no other build than this page's.
  const query = starts ? `?start=${starts}&build=${document.documentElement.dataset.build}` : "";
  const module = await import(`./donorack.js${query}`);
  starts += 1;
  await module.default(query ? { module_or_path: new URL(`donorack_bg.wasm${query}`, import.meta.url) } : undefined);
  core = module;
  for (const row of core.fields()) table.set(`${row.section}.${row.name}`, row);
  for (const row of core.results()) resultTable.set(row.name, row);
}

function restart() {
  starting ??= load().then(() => {
    starting = null;
    whenRunning();
  }, () => {
    starting = null;
    starts += 1;
    whenLost();
  });
}

function call(name, ...given) {
  if (!core) {
    restart();
    throw new Stopped();
  }
  try {
    return core[name](...given);
  } catch (error) {
    if (!(error instanceof WebAssembly.RuntimeError)) throw new Refused(typeof error === "string" ? error : (error?.message ?? String(error)));
    core = null;
    // What stops it straight away again would do so for ever: then the next key starts it.
    const again = performance.now() - stopped < 2000;
    stopped = performance.now();
    if (!again) restart();
    throw new Stopped();
  }
}

/** Everything that follows from a plan. */
export const evaluate = (plan) => call("evaluate", JSON.stringify(plan));
/** The link of a plan, without `#`. */
export const encodeLink = (plan) => call("encode_link", JSON.stringify(plan));
/** The plan of a link. */
export const decodeLink = (fragment) => JSON.parse(call("decode_link", fragment));
/** Where everything stands at a share of the travel, 1 at lock left; refused with the reason where there is no position. */
export const axle = (plan, rack, share) => call("axle", JSON.stringify(plan), rack, share);
/** Draws toe-out on turns; tells which lines found no room for their name. */
export const drawToeOut = (...given) => call("draw_toe_out", ...given);

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
