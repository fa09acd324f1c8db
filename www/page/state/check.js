// Validates what is read from the browser's storage. Knows no storage and no core: a plan's contents are read by the core alone.

/** @import { Asked, Entries, Json, Kept, Step } from "../../types/page" */

/** The format number of a record. Records of earlier versions carry none. */
export const FORMAT = 2;
/** The longest text that is taken for a record: a plan at every limit takes less than half of it. */
const LONGEST = 3_000_000;
/** More racks than any plan has; how many exactly, the core knows. */
const MANY = 99;
const UNITS = ["", "mm", "cm", "m", "in", "ft", "deg", "turns", "%"];
const SPACINGS = ["rod_end_spacing", "axis_spacing_at_ground"];
const WAYS = ["travel", "turns"];

/** @type {(held: Json) => boolean} */
const isObject = (held) => typeof held === "object" && held !== null && !Array.isArray(held);
/** @type {(held: Json) => held is string} */
const isText = (held) => typeof held === "string";
/** @type {(of: string[], held: Json) => string | null} */
const oneOf = (of, held) => (of.includes(held) ? held : null);
// JSON nested deeper than any plan is rejected: it could overflow the stack when it is written again.
/** @type {(held: Json, deep?: number) => boolean} */
const isShallow = (held, deep = 12) =>
  typeof held !== "object" || held === null || (deep > 0 && Object.values(held).every((one) => isShallow(one, deep - 1)));
/** @type {(held: Json) => number | undefined} */
const timestamp = (held) => (Number.isFinite(held) && Math.abs(held) < 8.64e15 ? held : undefined);

/**
 * Twelve hexadecimal digits, as the plan format has them.
 * @type {(held: Json) => boolean}
 */
export const isId = (held) => isText(held) && /^[0-9a-f]{12}$/.test(held);

/**
 * The value of a JSON text; `null` where it is invalid or too long.
 * @param {Json} text
 * @returns {Json}
 */
export function json(text) {
  if (!isText(text) || text.length > LONGEST) return null;
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

/**
 * The record of plan `id` that a value holds; `null` where it holds none. Invalid members other than the plan are left out.
 * @param {Json} held
 * @param {string} [id]
 * @returns {Kept | null}
 */
export function record(held, id = held?.id) {
  if (
    !isObject(held) ||
    !isId(held.id) ||
    held.id !== id ||
    !isObject(held.plan) ||
    held.plan.racks?.length > MANY ||
    !isShallow(held.plan)
  )
    return null;
  // A record of a later version is not touched.
  if (held.format !== undefined && held.format !== 1 && held.format !== FORMAT) return null;
  const { plan, stamp } = held;
  return {
    format: FORMAT,
    id,
    plan,
    rest: restOf(held.rest),
    asked: askedOf(held.asked),
    stamp: isText(stamp) ? stamp : undefined,
    when: timestamp(held.when),
    gone: timestamp(held.gone),
  };
}

// Fields as typed: `{car, limits, racks: [...]}`. Earlier versions kept one object by path.
/**
 * @param {Json} rest
 * @returns {Kept["rest"]}
 */
function restOf(rest) {
  const all = isObject(rest) ? Object.entries(rest) : [];
  /** @type {Record<string, Json>} */
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
 * @param {Json} held
 * @returns {Entries}
 */
function entries(held) {
  /** @type {(member: [string, Json]) => boolean} */
  const good = ([name, entry]) =>
    /^\w+$/.test(name) && isObject(entry) && isText(entry.text) && isText(entry.side) && UNITS.includes(entry.unit);
  return Object.fromEntries(
    (isObject(held) ? Object.entries(held) : []).filter(good).map(([name, { text, unit, side }]) => [name, { text, unit, side }]),
  );
}

/**
 * @param {Json} held
 * @returns {Asked}
 */
function askedOf(held) {
  if (!isObject(held)) return { spacing: null, travelBy: [] };
  return {
    spacing: oneOf(SPACINGS, held.spacing),
    travelBy: (Array.isArray(held.travelBy) ? held.travelBy.slice(0, MANY) : []).map((/** @type {Json} */ way) => oneOf(WAYS, way)),
  };
}

/**
 * An undo step: `was` is the record before it, or `delta` makes that record from the next step's; `null` where the value is no step.
 * @param {Json} held
 * @returns {Step | null}
 */
export function step(held) {
  if (!isObject(held) || !isText(held.what)) return null;
  const what = held.what.slice(0, 300);
  if (held.born === true) return isText(held.back) ? { what, born: true, back: held.back } : null;
  if (isObject(held.both))
    return isId(held.both.id) && isText(held.both.name) ? { what, both: { id: held.both.id, name: held.both.name } } : null;
  if (isObject(held.delta) && isShallow(held.delta, 24))
    return Number.isSafeInteger(held.next) ? { what, delta: held.delta, next: held.next } : null;
  const was = record(held.was);
  return was && { what, was };
}
