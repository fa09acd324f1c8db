// What is looked up in the answers: the worse of two sides, the worst finding, the order of the racks by a question.

import assert from "node:assert/strict";
import test from "node:test";
import { bestFirst, byName, figureId, question, questions, results, worse, worst } from "../../www/page/parts/results.js";

const figure = (name, side, value) => ({ name, side, value, status: value === null ? "missing" : "ok" });
const rack = (given) => ({ results: [], findings: [], line: { status: "none" }, ...given });

test("the worse of two sides is the one that the table calls worse", () => {
  const held = rack({ results: [figure("circle", "left", 10), figure("circle", "right", 11), figure("turns", "", 3)] });
  const of = (name, better, from = held) => worse(from, { name, better })?.value;
  assert.deepEqual([of("circle", "less"), of("circle", "more"), of("turns", "less"), of("lock", "more")], [11, 10, 3, undefined]);
  // A side without a figure is no worse than one that has one; of two without, the first says why.
  const half = rack({
    results: [figure("circle", "left", null), figure("circle", "right", 9), figure("lock", "left", null), figure("lock", "right", null)],
  });
  assert.deepEqual(
    [of("circle", "less", half), of("circle", "more", half), worse(half, { name: "lock", better: "more" })],
    [9, 9, half.results[2]],
  );
  assert.deepEqual(
    [results(held, "circle").length, [...byName(held).keys()], byName(held) === byName(held)],
    [2, ["circle", "turns"], true],
  );
});

test("the worst finding is one that counts, among those asked for", () => {
  const findings = [
    { name: "lock", kind: "pass" },
    { name: "reserve", kind: "fail" },
    { name: "lock", kind: "close" },
    { name: "lock", kind: "fail", judged: false },
    { name: "lock", kind: "missing" },
  ];
  assert.equal(worst(rack({ findings }), ["lock"]), findings[2]);
  assert.equal(worst(rack({ findings }), ["lock", "reserve"]), findings[1]);
  assert.equal(worst(rack({ findings }), ["turns"]), null);
});

test("figures are sorted as the core says, direction by its findings, lines by their length", () => {
  const way = (kind) => [{ name: "direction", kind }];
  const line = (from, to) => ({ status: "found", from, to });
  const racks = [
    rack({ findings: way("pass"), line: line(0, 5) }),
    rack({ findings: way("fail") }),
    rack({}),
    rack({ findings: [...way("pass"), { name: "opposed", kind: "close" }], line: line(-40, 2) }),
    rack({ findings: way("pass"), line: line(90, 95) }),
  ];
  const alike = [
    { key: "turns", result: "turns", findings: ["turns_min", "turns_max"], racks: [[1], [0], [], [], []], order: [2, 0, 1, 4, 3] },
  ];
  const view = { racks, alike };
  assert.deepEqual(bestFirst(view, null), [0, 1, 2, 3, 4]);
  assert.deepEqual(bestFirst(view, "turns"), [2, 0, 1, 4, 3]);
  assert.deepEqual(bestFirst(view, "direction"), [0, 4, 2, 3, 1]);
  assert.deepEqual(bestFirst(view, "line"), [3, 0, 4, 1, 2]);
  assert.equal(question(view, "turns"), alike[0]);
  assert.deepEqual(question(view, "direction").racks, []);
  assert.deepEqual(bestFirst({ racks: [], alike: [] }, "line"), []);
  // A question of the core's is there where the core answers it, in its place; the page's own two are always.
  assert.deepEqual(questions(view), ["direction", "line", "turns"]);
  assert.deepEqual(questions({ racks, alike: [...alike, { key: "bump" }, { key: "lock" }] }), [
    "direction",
    "line",
    "lock",
    "bump",
    "turns",
  ]);
});

test("a figure is found by rack, result and side", () => {
  assert.deepEqual(
    [figureId(0, { name: "turns", side: "" }), figureId(2, { name: "lock_inner", side: "left" }), figureId(1, { name: "x", side: null })],
    ["0.turns", "2.lock_inner.left", "1.x"],
  );
});
