// A plan that came back changed: what differs is listed, and taken over it leaves no difference.

import assert from "node:assert/strict";
import test from "node:test";
import { load } from "./core.mjs";
import { random } from "./seeded.mjs";
import { Storage } from "./storage.mjs";

globalThis.localStorage = new Storage();
globalThis.sessionStorage = new Storage();
await load();
const { differences, same } = await import("../../www/page/state/diff.js");
const { fromPlan, toPlan } = await import("../../www/page/state/plan.js");

const plan = (given) => ({ donorack: 1, car: {}, racks: [], limits: {}, ...given });
const keys = (own, theirs) => differences(own, theirs, fromPlan(theirs)).map(({ key }) => key);

test("racks are the same by name, then by place; each field is a row", () => {
  const own = plan({
    name: "Mine",
    car: { wheelbase: "2500 mm", front_track: "1300 mm" },
    racks: [{ name: "A", travel: "1 mm" }, { name: "B" }, {}],
  });
  const theirs = plan({
    car: { wheelbase: "2501 mm" },
    limits: { lock_wanted: "30" },
    racks: [
      { name: "B", note: "new" },
      { name: "A", travel: "2 mm", mark: "buy" },
    ],
  });
  const rows = differences(own, theirs, fromPlan(theirs));
  assert.deepEqual(
    rows.map(({ key, mine, theirs }) => [key, mine, theirs]),
    [
      ["name", "Mine", ""],
      ["car.wheelbase", "2500 mm", "2501 mm"],
      ["car.front_track", "1300 mm", ""],
      ["limits.lock_wanted", "", "30"],
      ["racks.0.mark", "", rows[4].theirs],
      ["racks.0.travel", "1 mm", "2 mm"],
      ["racks.1.note", "", "new"],
      ["racks.2", rows[7].mine, rows[7].theirs],
    ],
  );
  assert.deepEqual(keys(plan({ racks: [{ name: "A" }] }), plan({ racks: [{ name: "C" }] })), ["racks.0.name"]);
  assert.deepEqual(keys(plan({ racks: [] }), plan({ racks: [{}, { name: "C" }] })), ["added.0", "added.1"]);
  assert.ok(same({ ...own, chosen: 1 }, own) && !same(own, theirs));
});

test("what a newer program wrote is one row, where nothing else says so", () => {
  const newer = plan({ car: { newer: { x: 1 } } });
  assert.deepEqual([keys(plan(), newer), keys(newer, newer), keys(newer, plan({ racks: [{}] }))], [["newer"], [], ["added.0"]]);
});

test("with everything taken over nothing differs, whatever the two plans say", () => {
  const next = random(4);
  const pick = (all) => all[Math.floor(next() * all.length)];
  const part = (names) => Object.fromEntries(names.filter(() => next() < 0.6).map((name) => [name, pick(["1", "2", "3"])]));
  const rack = () => ({ ...part(["name", "note", "travel"]), ...(next() < 0.3 ? { mark: pick(["buy", "leave"]) } : {}) });
  const any = () =>
    plan({
      ...part(["name"]),
      car: part(["wheelbase", "front_track"]),
      limits: part(["lock_wanted"]),
      racks: Array.from({ length: Math.floor(next() * 5) }, rack),
    });
  let rows = 0;
  for (let n = 0; n < 1000; n++) {
    const [own, theirs] = [any(), any()];
    const all = differences(own, theirs, fromPlan(theirs));
    const draft = fromPlan(own);
    // As the page does it: what adds or takes away a rack comes last, from the last one on.
    const shape = ({ key }) => /^(racks|added)\.\d+$/.test(key);
    for (const row of [...all.filter((r) => !shape(r)), ...all.filter(shape).reverse()]) row.take(draft);
    const left = toPlan(draft);
    const ordered = (racks) => racks.map((one) => JSON.stringify(Object.entries(one).sort())).sort();
    assert.deepEqual(
      [left.name, left.car, left.limits, ordered(left.racks)],
      [theirs.name, theirs.car, theirs.limits, ordered(theirs.racks)],
      JSON.stringify([own, theirs]),
    );
    rows += all.length;
  }
  assert.ok(rows > 4000, `${rows} rows`);
});
