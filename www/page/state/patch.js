// By what one value of JSON differs from another, so that of a hundred steps back only the last one is kept whole.

/** @typedef {any} Json a value of JSON, as it comes */
/**
 * @typedef {{ v?: Json, o?: Record<string, Change>, x?: string[], l?: Record<string, Change>, p?: number, s?: number, m?: Json[] }} Change by what one differs from another
 * @type {(held: Json) => boolean}
 */
const object = (held) => typeof held === "object" && held !== null && !Array.isArray(held);

/**
 * Do two values of JSON say the same?
 * @param {Json} a
 * @param {Json} b
 * @returns {boolean}
 */
export function same(a, b) {
  if (a === b) return true;
  if (Array.isArray(a)) return Array.isArray(b) && a.length === b.length && a.every((item, i) => same(item, b[i]));
  if (!object(a) || !object(b)) return false;
  const keys = Object.keys(a).filter((key) => a[key] !== undefined);
  return (
    keys.length === Object.keys(b).filter((key) => b[key] !== undefined).length &&
    keys.every((key) => Object.hasOwn(b, key) && same(a[key], b[key]))
  );
}

/**
 * What makes `to` of `from`: `v` a value in its place, `o` members and `x` those that go, `l` items, `m` items in place of all but the first `p` and last `s`.
 * @param {Json} from
 * @param {Json} to
 * @returns {Change}
 */
export function difference(from, to) {
  if (same(from, to)) return {};
  if (object(from) && object(to)) {
    const gone = Object.keys(from).filter((key) => to[key] === undefined);
    const changed = Object.entries(to).filter(([key, value]) => value !== undefined && !same(from[key], value));
    return {
      o: Object.fromEntries(changed.map(([key, value]) => [key, difference(from[key], value)])),
      ...(gone.length ? { x: gone } : {}),
    };
  }
  if (!Array.isArray(from) || !Array.isArray(to)) return { v: to };
  if (from.length === to.length)
    return {
      l: Object.fromEntries(
        [...to.entries()].filter(([i, item]) => !same(from[i], item)).map(([i, item]) => [i, difference(from[i], item)]),
      ),
    };
  const least = Math.min(from.length, to.length);
  let p = 0;
  while (p < least && same(from[p], to[p])) p += 1;
  let s = 0;
  while (s < least - p && same(from.at(-1 - s), to.at(-1 - s))) s += 1;
  return { p, s, m: to.slice(p, to.length - s) };
}

/**
 * Makes `to` again; may throw where the two do not belong together.
 * @param {Json} from
 * @param {Change} change
 * @returns {Json}
 */
export function patched(from, { v, o, x = [], l, p = 0, s = 0, m }) {
  if (v !== undefined) return v;
  if (m) return [...from.slice(0, p), ...m, ...from.slice(from.length - s)];
  const inside = o ?? l;
  if (!inside) return from;
  const out = Array.isArray(from) ? [...from] : { ...from };
  for (const key of x) delete out[key];
  for (const [key, change] of Object.entries(inside)) out[key] = patched(out[key], change);
  return out;
}
