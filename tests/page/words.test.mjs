// Sentences that are put together: names in lists, copies, names that could turn a sentence round; addresses that lead nowhere from outside.

import assert from "node:assert/strict";
import test from "node:test";
import { most } from "./core.mjs";

const { words } = await import("../../www/page/words.js");
const { plainText } = await import("../../www/page/widgets/dom.js");
const { isLocal } = await import("../../www/page/share.js");

test("a few names by name, many by their number", () => {
  const list = (n) => plainText(words.compare.list(Array.from({ length: n }, (_, i) => `R${i}`)));
  assert.deepEqual([0, 1, 2, 4, 5, 63].map(list), [
    "",
    "R0",
    "R0 and R1",
    "R0, R1, R2 and R3",
    "R0, R1, R2 and 2 others",
    "R0, R1, R2 and 60 others",
  ]);
});

test("a copy's name is short enough and unlike any other", () => {
  const taken = [];
  for (const name of ["Golf", "Golf (copy)", "Golf (copy 7)", "🚗".repeat(50), "🚗".repeat(50)]) {
    const copy = words.plan.copy(name, taken);
    assert.ok([...copy].length <= most.name && !taken.includes(copy) && copy.isWellFormed(), copy);
    taken.push(copy);
  }
  assert.deepEqual(taken.slice(0, 3), ["Golf (copy)", "Golf (copy 2)", "Golf (copy 3)"]);
});

test("a name that could turn a sentence round is set apart from it, without its own marks", () => {
  assert.equal(words.apart("With פולו it suits.", ["פולו"]), "With \u2068פולו\u2069 it suits.");
  assert.equal(words.apart("With \u202eX it suits.", ["\u202eX"]), "With \u2068X\u2069 it suits.");
  assert.equal(words.apart("With Golf it suits.", ["Golf"]), "With Golf it suits.");
});

test("addresses that lead nowhere from outside", () => {
  for (const host of [
    "localhost",
    "shed",
    "shed.local",
    "10.0.0.1",
    "127.0.0.1",
    "192.168.1.7",
    "169.254.0.1",
    "172.16.0.1",
    "172.31.9.9",
    "[::1]",
    "[fe80::1]",
    "[FD00::1]",
    "[fc00::1]",
  ])
    assert.equal(isLocal(host), true, host);
  for (const host of [
    "example.org",
    "fdroid.example.org",
    "fc.example.org",
    "10.example.org",
    "172.15.0.1",
    "172.32.0.1",
    "11.0.0.1",
    "[2001:db8::1]",
    "[::1:2]",
    "local.example.org",
  ])
    assert.equal(isLocal(host), false, host);
});
