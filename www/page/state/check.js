// Whether what this browser kept is what the page once wrote. Knows no storage and no core: what a plan says, the core alone reads.

/** @typedef {{ text: string, unit: string, side: string }} Entry one field, letter by letter */
/** @typedef {Record<string, Entry>} Entries */
/** @typedef {{ spacing: string | null, travelBy: (string | null)[] }} Asked which of two ways of measuring was asked for */
/** @typedef {{ format: number, id: string, plan: any, rest: { car: Entries, limits: Entries, racks: Entries[] }, asked: Asked, stamp?: string, when?: number, gone?: number }} Kept a record of a plan */
/** @typedef {{ what: string, was?: Kept, delta?: import("./patch.js").Change, next?: number, born?: true, back?: string, both?: { id: string, name: string } }} Step a step back */

/** The format number of a record. Records of earlier versions carry none. */
export const FORMAT = 2;
/** The longest text that is taken for a record: a plan at every limit takes less than half of it. */
const LONGEST = 3_000_000;
/** More racks than any plan has; how many exactly, the core knows. */
const MANY = 99;
const UNITS = ["", "mm", "cm", "m", "in", "ft", "deg", "turns", "%"];
const SPACINGS = ["rod_end_spacing", "axis_spacing_at_ground"];
const WAYS = ["travel", "turns"];

/** @type {(held: any) => boolean} */
const object = (held) => typeof held === "object" && held !== null && !Array.isArray(held);
/** @type {(held: any) => held is string} */
const words = (held) => typeof held === "string";
/** @type {(of: string[], held: any) => string | null} */
const one = (of, held) => (of.includes(held) ? held : null);
// What is nested deeper than any plan is none, and could not even be written again.
/** @type {(held: any, deep?: number) => boolean} */
const flat = (held, deep = 12) =>
  typeof held !== "object" || held === null || (deep > 0 && Object.values(held).every((one) => flat(one, deep - 1)));
/** @type {(held: any) => number | undefined} */
const time = (held) => (Number.isFinite(held) && Math.abs(held) < 8.64e15 ? held : undefined);

/**
 * Twelve hexadecimal digits, as the plan format has them.
 * @type {(held: any) => boolean}
 */
export const isId = (held) => words(held) && /^[0-9a-f]{12}$/.test(held);

/**
 * What a text says, or nothing.
 * @param {any} text
 * @returns {any}
 */
export function json(text) {
  if (!words(text) || text.length > LONGEST) return null;
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

/**
 * A record of the plan `id`; nothing where it is none. What beside its plan is not as it should be is left out.
 * @param {any} held
 * @param {string} [id]
 * @returns {Kept | null}
 */
export function record(held, id = held?.id) {
  if (!object(held) || !isId(held.id) || held.id !== id || !object(held.plan) || held.plan.racks?.length > MANY || !flat(held.plan))
    return null;
  // One of a later version is left alone.
  if (held.format !== undefined && held.format !== 1 && held.format !== FORMAT) return null;
  const { plan, stamp } = held;
  return {
    format: FORMAT,
    id,
    plan,
    rest: typed(held.rest),
    asked: asked(held.asked),
    stamp: words(stamp) ? stamp : undefined,
    when: time(held.when),
    gone: time(held.gone),
  };
}

// Fields letter by letter: `{car, limits, racks: [...]}`. Earlier versions had one list by path.
/**
 * @param {any} rest
 * @returns {Kept["rest"]}
 */
function typed(rest) {
  const all = object(rest) ? Object.entries(rest) : [];
  /** @type {Record<string, any>} */
  const out = { car: {}, limits: {}, racks: [] };
  if (all.some(([path]) => path.includes("."))) {
    for (const [path, held] of all) {
      const [part, a, b] = path.split(".");
      if (part === "racks" && b && /^\d{1,2}$/.test(a)) (out.racks[Number(a)] ??= {})[b] = held;
      else if ((part === "car" || part === "limits") && a) out[part][a] = held;
    }
  } else {
    for (const [part, held] of all) if (Object.hasOwn(out, part)) out[part] = held;
    if (!Array.isArray(out.racks)) out.racks = [];
  }
  return { car: entries(out.car), limits: entries(out.limits), racks: Array.from(out.racks.slice(0, MANY), entries) };
}

/**
 * @param {any} held
 * @returns {Entries}
 */
function entries(held) {
  /** @type {(member: [string, any]) => boolean} */
  const good = ([name, entry]) =>
    /^\w+$/.test(name) && object(entry) && words(entry.text) && words(entry.side) && UNITS.includes(entry.unit);
  return Object.fromEntries(
    (object(held) ? Object.entries(held) : []).filter(good).map(([name, { text, unit, side }]) => [name, { text, unit, side }]),
  );
}

/**
 * @param {any} held
 * @returns {Asked}
 */
function asked(held) {
  if (!object(held)) return { spacing: null, travelBy: [] };
  return {
    spacing: one(SPACINGS, held.spacing),
    travelBy: (Array.isArray(held.travelBy) ? held.travelBy.slice(0, MANY) : []).map((/** @type {any} */ way) => one(WAYS, way)),
  };
}

/**
 * A step back: `was` the record before it, or `delta` by which that is made from the next one's; nothing where it is none.
 * @param {any} held
 * @returns {Step | null}
 */
export function step(held) {
  if (!object(held) || !words(held.what)) return null;
  const what = held.what.slice(0, 300);
  if (held.born === true) return words(held.back) ? { what, born: true, back: held.back } : null;
  if (object(held.both))
    return isId(held.both.id) && words(held.both.name) ? { what, both: { id: held.both.id, name: held.both.name } } : null;
  if (object(held.delta) && flat(held.delta, 24))
    return Number.isSafeInteger(held.next) ? { what, delta: held.delta, next: held.next } : null;
  const was = record(held.was);
  return was && { what, was };
}
