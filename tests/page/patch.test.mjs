// By what two values differ: made and applied, it gives the second again, and it is small where little differs.

import assert from "node:assert/strict";
import test from "node:test";
import { difference, patched, same } from "../../www/page/state/patch.js";
import { random } from "./seeded.mjs";

const KEPT = (value) => JSON.parse(JSON.stringify(value));

/** A value of JSON, at most `deep` levels of it. */
function value(next, deep) {
  const kind = Math.floor(next() * (deep > 0 ? 6 : 4));
  if (kind === 0) return null;
  if (kind === 1) return next() < 0.5;
  if (kind === 2) return Math.floor(next() * 4);
  if (kind === 3) return ["", "a", "138 mm"][Math.floor(next() * 3)];
  const many = Math.floor(next() * 5);
  if (kind === 4) return Array.from({ length: many }, () => value(next, deep - 1));
  return Object.fromEntries(Array.from({ length: many }, () => ["kvolxpsm"[Math.floor(next() * 8)], value(next, deep - 1)]));
}

/** The same value with something changed somewhere in it. */
function changed(next, held, deep) {
  if (typeof held !== "object" || held === null || next() < 0.1) return value(next, deep);
  const keys = Object.keys(held);
  const key = keys[Math.floor(next() * keys.length)];
  if (Array.isArray(held)) {
    const at = Math.floor(next() * (held.length + 1));
    if (next() < 0.3) return held.toSpliced(at, 0, value(next, deep - 1));
    if (next() < 0.3) return held.toSpliced(at, 1);
    return held.map((item, i) => (i === at ? changed(next, item, deep - 1) : item));
  }
  if (key === undefined || next() < 0.2) return { ...held, new: value(next, deep - 1) };
  if (next() < 0.2) return Object.fromEntries(Object.entries(held).filter(([k]) => k !== key));
  return { ...held, [key]: changed(next, held[key], deep - 1) };
}

test("a difference that was kept as text leads to the other value, and changes neither", () => {
  const next = random(1);
  let differing = 0;
  for (let n = 0; n < 20_000; n++) {
    const from = value(next, 4);
    const to = n % 5 ? changed(next, from, 4) : value(next, 4);
    const before = JSON.stringify([from, to]);
    const made = patched(from, KEPT(difference(from, to)));
    assert.deepEqual(made, to, before);
    assert.equal(JSON.stringify([from, to]), before);
    assert.equal(same(from, to), Object.keys(difference(from, to)).length === 0, before);
    differing += same(from, to) ? 0 : 1;
  }
  assert.ok(differing > 12_000, `only ${differing} of the pairs differ`);
});

test("what JSON leaves out counts as not there", () => {
  assert.ok(same({ a: 1, b: undefined }, { a: 1 }) && same({ a: 1 }, { b: undefined, a: 1 }));
  assert.ok(!same({ a: undefined }, { b: 1 }) && !same([], {}) && !same(null, {}) && !same({ a: 1 }, Object.create({ a: 1 })));
  assert.deepEqual(patched({ a: 1, b: 2 }, KEPT(difference({ a: 1, b: 2 }, { a: 1, b: undefined }))), { a: 1 });
});

test("one key among sixty-four racks, or one rack more or less, is a short difference", () => {
  const racks = Array.from({ length: 64 }, (_, i) => ({ name: `Rack ${i}`, travel: `${140 + i} mm`, note: "x".repeat(500) }));
  const other = racks.map((rack, i) => (i === 40 ? { ...rack, travel: "5 7/16 in" } : rack));
  for (const [from, to, most] of [
    [racks, other, 70],
    [racks, racks.toSpliced(7, 1), 40],
    [racks.toSpliced(7, 1), racks, 620],
  ]) {
    const text = JSON.stringify(difference({ racks: from }, { racks: to }));
    assert.ok(text.length <= most, `${text.length} characters: ${text.slice(0, 80)}`);
  }
});

test("items of a list that is not there are refused", () => {
  const more = KEPT(difference([1, 2], [1, 2, 3]));
  for (const other of [null, 5, {}]) assert.throws(() => patched(other, more), TypeError);
});
