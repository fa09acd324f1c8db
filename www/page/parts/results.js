// What is looked up in the answers about the racks. Knows no screen.

/** @typedef {import("../../types/core").ResultView} Result one figure of a rack, or why there is none */
/** @typedef {import("../../types/core").Finding} Finding one demand, judged */
/** @typedef {import("../../types/core").RackView} Rack the answers about one rack */
/** @typedef {import("../../types/core").View} View everything that follows from a plan */
/** @typedef {{ key?: string, result?: string, findings: string[], racks: number[][], order?: number[] }} Question one row of the comparison */

const BADNESS = ["fail", "close", "missing", "pass"];

/** @type {WeakMap<Rack, Map<string, Result[]>>} */
const sorted = new WeakMap();

/**
 * The results of a rack by name, one or two of each.
 * @param {Rack} rack
 * @returns {Map<string, Result[]>}
 */
export function byName(rack) {
  let by = sorted.get(rack);
  if (by) return by;
  by = new Map();
  for (const r of rack.results) {
    const held = by.get(r.name);
    if (held) held.push(r);
    else by.set(r.name, [r]);
  }
  sorted.set(rack, by);
  return by;
}

/** What is told of the hole that a tie rod needs in the frame rail. */
export const HOLE = ["hole_diameter", "hole_ahead", "hole_up", "hole_rear", "hole_front", "hole_low", "hole_high"];

/** What is told of the room beside the turned tyres. */
export const TYRE = ["tyre_room", "tyre_touches", "tyre_stop"];

/**
 * The results of one name.
 * @type {(rack: Rack, name: string) => Result[]}
 */
export const results = (rack, name) => byName(rack).get(name) ?? [];

/**
 * The one result of a name that is shown where there is room for one: the worse of its two sides; `better` is "more" or "less".
 * @param {Rack} rack
 * @param {{ name: string, better: string }} row
 * @returns {Result | null}
 */
export function worse(rack, { name, better }) {
  const all = results(rack, name);
  const value = (/** @type {Result} */ r) => Number(r.value);
  const ok = all.filter((r) => r.status === "ok" && r.value !== null);
  return ok.sort((a, b) => (better === "more" ? value(a) - value(b) : value(b) - value(a)))[0] ?? all[0] ?? null;
}

/**
 * The worst finding of the given names.
 * @param {Rack} rack
 * @param {string[]} names
 * @returns {Finding | null}
 */
export function worst(rack, names) {
  const found = rack.findings.filter((f) => f.judged !== false && names.includes(f.name));
  return found.sort((a, b) => BADNESS.indexOf(a.kind) - BADNESS.indexOf(b.kind))[0] ?? null;
}

/**
 * A shown figure's id in `data-result`: rack, result, side.
 * @type {(i: number, result: { name: string, side: string | null | undefined }) => string}
 */
export const figureId = (i, result) =>
  [i, result.name, result.side].filter((part) => part !== "" && part !== null && part !== undefined).join(".");

// ---- side by side ----

// The questions that no figure answers, each with a value by which racks are ordered.
/** @type {Record<string, { findings: string[], worth: (rack: Rack) => number }>} */
const OTHERS = {
  direction: {
    findings: ["direction", "opposed"],
    worth: (rack) => BADNESS.indexOf(worst(rack, OTHERS.direction.findings)?.kind ?? "missing"),
  },
  line: { findings: [], worth: ({ line }) => (line.status === "found" ? Number(line.to) - Number(line.from) : -1) },
};

const ORDER = ["direction", "line", "lock", "circle", "bump", "reserve", "transmission", "ratio", "turns", "ackermann"];

/**
 * The questions that there are in a view, in the order of their rows.
 * @type {(view: View) => string[]}
 */
export const questions = (view) => ORDER.filter((key) => key in OTHERS || view.alike.some((a) => a.key === key));

/**
 * One question: the `result` that answers it, if any; the `findings` that judge it; the `racks` that the ± cannot tell from each.
 * @type {(view: View, key: string) => Question}
 */
export const question = (view, key) => view.alike.find((a) => a.key === key) ?? { findings: OTHERS[key].findings, racks: [] };

/**
 * The racks, the best first by one question; in the order of the plan for `null`.
 * @param {View} view
 * @param {string | null} key
 * @returns {number[]}
 */
export function bestFirst(view, key) {
  const all = view.racks.map((_, i) => i);
  if (!key) return all;
  const { worth } = OTHERS[key] ?? {};
  return worth ? all.sort((a, b) => worth(view.racks[b]) - worth(view.racks[a])) : (question(view, key).order ?? all);
}
