// What this browser kept may have been spoilt: what is whole is taken, what is not is left out, and nothing makes it stop.

import assert from "node:assert/strict";
import test from "node:test";
import { FORMAT, isId, json, record, step } from "../../www/page/state/check.js";
import { random } from "./seeded.mjs";

const ID = "0123456789ab";
const entry = { text: "138", unit: "mm", side: "" };
const whole = () => ({
  format: FORMAT,
  id: ID,
  plan: { donorack: 1, racks: [{}, {}] },
  rest: { car: { wheelbase: entry }, limits: {}, racks: [{}, { travel: { text: "5 7/16", unit: "in", side: "" } }] },
  asked: { spacing: "rod_end_spacing", travelBy: [null, "turns"] },
  stamp: "s",
  when: 1,
  gone: undefined,
});

test("a whole record comes back as it was, and once more the same", () => {
  assert.deepEqual(record(whole()), whole());
  assert.deepEqual(record(record(whole()), ID), whole());
});

test("what is no record of the plan is none", () => {
  const nested = (deep) => (deep ? { in: nested(deep - 1) } : 1);
  for (const [why, held] of Object.entries({
    nothing: null,
    list: [],
    text: "x",
    "no id": { ...whole(), id: undefined },
    "long id": { ...whole(), id: `${ID}0` },
    "later format": { ...whole(), format: FORMAT + 1 },
    "no plan": { ...whole(), plan: null },
    "plan as list": { ...whole(), plan: [] },
    "too many racks": { ...whole(), plan: { racks: Array.from({ length: 100 }, () => ({})) } },
    "too deep": { ...whole(), plan: nested(20) },
  }))
    assert.equal(record(held), null, why);
  assert.equal(record(whole(), "ffffffffffff"), null);
  assert.notEqual(record({ ...whole(), plan: nested(10) }), null);
});

test("what is spoilt beside the plan costs only itself", () => {
  const rest = {
    car: { wheelbase: entry, track: { ...entry, unit: "ells" }, "a.b": entry, x: 7 },
    limits: 3,
    racks: [null, "x", { travel: entry }],
  };
  const read = record({ ...whole(), rest, asked: { spacing: "moon", travelBy: ["turns", "x"] }, stamp: 5, when: Infinity, gone: "now" });
  assert.deepEqual(read.rest, { car: { wheelbase: entry }, limits: {}, racks: [{}, {}, { travel: entry }] });
  assert.deepEqual(
    [read.asked, read.stamp, read.when, read.gone],
    [{ spacing: null, travelBy: ["turns", null] }, undefined, undefined, undefined],
  );
});

test("fields by path, as earlier versions kept them, are read", () => {
  const rest = { "car.wheelbase": entry, "racks.1.travel": entry, "racks.1000.travel": entry, "moon.x": entry, racks: 1 };
  assert.deepEqual(record({ ...whole(), format: undefined, rest }).rest, {
    car: { wheelbase: entry },
    limits: {},
    racks: [{}, { travel: entry }],
  });
});

test("the four kinds of step", () => {
  const what = "typed";
  assert.deepEqual(step({ what, was: whole() }), { what, was: whole() });
  assert.deepEqual(step({ what, delta: { o: {} }, next: 5, more: 1 }), { what, delta: { o: {} }, next: 5 });
  assert.deepEqual(step({ what, born: true, back: "x" }), { what, born: true, back: "x" });
  assert.deepEqual(step({ what, both: { id: ID, name: "A", more: 1 } }), { what, both: { id: ID, name: "A" } });
  assert.equal(step({ what: "x".repeat(999), was: whole() }).what.length, 300);
  for (const held of [
    null,
    {},
    { what },
    { what: 1, was: whole() },
    { what, delta: {} },
    { what, delta: {}, next: 0.5 },
    { what, delta: { l: JSON.parse("[".repeat(30) + "]".repeat(30)) }, next: 5 },
    { what, born: true },
    { what, both: { id: "x", name: "" } },
  ])
    assert.equal(step(held), null, JSON.stringify(held));
});

test("texts: what is no JSON, or longer than any record, is nothing", () => {
  assert.deepEqual(
    [json(null), json("{"), json(`"${"x".repeat(3_000_000)}"`), json("[1]"), isId(ID), isId(ID.toUpperCase())],
    [null, null, null, [1], true, false],
  );
});

test("a record with anything in the place of anything is read or refused, never more", () => {
  const next = random(2);
  const odd = [null, true, -1, 1e300, "", "racks.0.x", [], {}, [[]], { racks: 1 }, Array(200).fill(0)];
  let taken = 0;
  const spoil = (held) => {
    if (typeof held !== "object" || held === null || next() < 0.1) return odd[Math.floor(next() * odd.length)];
    const keys = Object.keys(held);
    const key = keys[Math.floor(next() * keys.length)];
    const copy = Array.isArray(held) ? [...held] : { ...held };
    if (key !== undefined) copy[key] = spoil(held[key]);
    return copy;
  };
  for (let n = 0; n < 5000; n++) {
    const held = spoil(spoil(whole()));
    const read = record(held);
    step({ what: "x", was: held, delta: held, next: n });
    if (!read) continue;
    taken += 1;
    assert.deepEqual(record(json(JSON.stringify(read))), read, JSON.stringify(held));
  }
  assert.ok(taken > 500 && taken < 4999, `${taken} taken`);
});
