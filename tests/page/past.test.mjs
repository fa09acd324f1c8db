// Steps back and plans in a storage with little room: what is kept leads back exactly, and what gives way does so in its order.

import assert from "node:assert/strict";
import test, { beforeEach } from "node:test";
import * as past from "../../www/page/state/past.js";
import * as store from "../../www/page/state/store.js";
import { random } from "./seeded.mjs";
import { Storage } from "./storage.mjs";

const ID = "0123456789ab";
const plain = (value) => JSON.parse(JSON.stringify(value));

/** A record of a plan with so many racks. */
const made = (id, racks, wheelbase = "2500 mm") => ({
  format: 2,
  id,
  plan: { donorack: 1, car: { wheelbase }, racks: Array.from({ length: racks }, (_, i) => ({ name: `Rack ${i}`, note: "n".repeat(300) })) },
  rest: { car: {}, limits: {}, racks: [] },
  asked: { spacing: null, travelBy: [] },
});

beforeEach(() => {
  globalThis.localStorage = new Storage();
  globalThis.sessionStorage = new Storage();
  store.state.trouble = "";
});

test("a hundred of a hundred and thirty changes lead back one by one, read anew in between, in little room", () => {
  const next = random(3);
  const whats = [];
  const now = made(ID, 20);
  const steps = [];
  for (let n = 0; n < 130; n++) {
    whats.push(plain(now));
    past.add(ID, steps, { what: `${n}`, was: plain(now) });
    const { racks } = now.plan;
    const at = Math.floor(next() * racks.length);
    if (n % 3 === 0) now.plan.car.wheelbase = `${2500 + n} mm`;
    else if (n % 3 === 1 && racks.length > 2) racks.splice(at, 1);
    else racks.splice(at, 0, { name: `New ${n}`, note: "n".repeat(300) });
  }
  assert.deepEqual(plain(past.read(ID)), plain(steps));
  assert.equal(steps.length, 100);
  const whole = JSON.stringify(now).length;
  assert.ok(localStorage.used < 10 * whole, `${localStorage.used} characters beside a record of ${whole}`);
  let held = steps;
  for (let n = 129; n >= 30; n--) {
    if (n % 10 === 0) held = past.read(ID);
    const step = past.take(ID, held);
    assert.equal(step.what, `${n}`);
    assert.deepEqual(plain(step.was), whats[n]);
  }
  assert.equal(past.take(ID, held), null);
  assert.equal(localStorage.length, 0);
});

test("a spoilt step costs the steps before it and none after it", () => {
  const steps = [];
  for (let n = 0; n < 6; n++) past.add(ID, steps, { what: `${n}`, was: made(ID, 1, `${n} mm`) });
  localStorage.setItem(`donorack.step.${ID}.${steps[2].n}`, "{");
  assert.deepEqual(
    past.read(ID).map((step) => step.what),
    ["3", "4", "5"],
  );
  assert.equal(localStorage.length, 3);
});

test("without room other plans' steps give way, the oldest first, then the plan's own; another plan never", () => {
  const [other, gone] = ["aaaaaaaaaaaa", "bbbbbbbbbbbb"];
  assert.ok(store.keep(other, JSON.stringify(made(other, 1))) && store.keep(gone, JSON.stringify(made(gone, 1))) && store.remove(gone));
  for (const [id, n] of [
    [other, 1],
    [other, 3],
    [ID, 2],
    [ID, 4],
  ])
    assert.ok(store.keepStep(id, n, "x".repeat(1000)));
  const kept = () => [...store.steps(other), ...store.steps(ID)].map(([n]) => n);
  for (const [length, left] of [
    [500, [3, 2, 4]],
    [1400, [2, 4]],
    [2300, [4]],
    [3200, []],
  ]) {
    localStorage.room = localStorage.used;
    assert.ok(store.keep(ID, "y".repeat(length)));
    assert.deepEqual([kept(), store.list().length], [left, 2], `${length} characters`);
  }
  assert.equal(store.gone().length, 1);
  // What was removed goes last, and what does not fit then is said to.
  const before = localStorage.getItem(`donorack.plan.${other}`);
  assert.equal(store.keep(ID, "y".repeat(localStorage.room)), false);
  assert.deepEqual(
    [store.state.trouble, store.gone().length, localStorage.getItem(`donorack.plan.${other}`) === before],
    ["full", 0, true],
  );
});

test("a step gives way to no plan's record, and to no later step of its own", () => {
  store.keep(ID, JSON.stringify(made(ID, 1)));
  store.keepStep(ID, 1, "x".repeat(100));
  store.keepStep(ID, 2, "x".repeat(100));
  localStorage.room = localStorage.used;
  assert.ok(store.keepStep(ID, 3, "x".repeat(100)));
  assert.deepEqual(
    store.steps(ID).map(([n]) => n),
    [2, 3],
  );
  assert.equal(store.keepStep(ID, 4, "x".repeat(9000)), false);
  assert.deepEqual([store.steps(ID).map(([n]) => n), store.record(ID)?.id], [[3], ID]);
});

test("a removed plan is away until it is brought back, in a full storage too, and the twenty-first goes", () => {
  store.keep(ID, JSON.stringify({ ...made(ID, 2), when: Date.now() }));
  const before = plain(store.record(ID));
  localStorage.room = localStorage.used;
  assert.ok(store.remove(ID));
  assert.deepEqual([store.record(ID), store.list(), store.gone().map(({ id }) => id)], [null, [], [ID]]);
  localStorage.room = Infinity;
  assert.ok(store.bringBack(ID) && !store.bringBack(ID));
  assert.deepEqual(plain({ ...store.record(ID), when: before.when }), before);
  for (let n = 0; n < 22; n++) store.keepAway(made(`${100000000000 + n}`, 0), n + 1);
  assert.deepEqual(
    store.gone().map((one) => one.gone),
    Array.from({ length: 20 }, (_, i) => 22 - i),
  );
});

test("a storage that refuses is said to, and nothing stops", () => {
  const refuse = () => {
    throw new DOMException("no", "SecurityError");
  };
  globalThis.localStorage = {
    getItem: refuse,
    setItem: refuse,
    removeItem: refuse,
    key: refuse,
    get length() {
      return refuse();
    },
  };
  globalThis.sessionStorage = globalThis.localStorage;
  assert.deepEqual(
    [store.record(ID), store.list(), past.read(ID), store.keep(ID, "{}"), store.aside({}), store.beside()],
    [null, [], [], false, null, null],
  );
  assert.equal(store.state.trouble, "refused");
});

test("steps and removed plans as earlier versions kept them are taken over once", () => {
  localStorage.setItem(
    `donorack.past.${ID}`,
    JSON.stringify([{ what: "a", was: made(ID, 1) }, { what: 5 }, { what: "b", was: made(ID, 2) }]),
  );
  assert.deepEqual(
    past.read(ID).map(({ what }) => what),
    ["a", "b"],
  );
  assert.deepEqual([store.oldSteps(ID), past.read(ID).length], [null, 2]);
  const id = "cccccccccccc";
  localStorage.setItem("donorack.gone", JSON.stringify([{ held: made(id, 1), past: [{ what: "c", was: made(id, 0) }] }, { held: 5 }]));
  past.migrate();
  assert.deepEqual([store.oldGone(), store.gone().map((one) => one.id), past.read(id).map(({ what }) => what)], [null, [id], ["c"]]);
});
