// Two tabs with one plan: what this tab learns of the other, and what a choice does when the other has gone on meanwhile.

import assert from "node:assert/strict";
import test from "node:test";
import { load } from "./core.mjs";
import { Storage } from "./storage.mjs";

globalThis.localStorage = new Storage();
globalThis.sessionStorage = new Storage();
await load();
const { settleClash } = await import("../../www/page/state/clash.js");
const { blank } = await import("../../www/page/state/draft.js");
const { changePlan } = await import("../../www/page/state/history.js");
const { openAsOwn } = await import("../../www/page/state/opening.js");
const { open } = await import("../../www/page/state/plan.js");
const { detectClash } = await import("../../www/page/state/record.js");
const store = await import("../../www/page/state/store.js");

/** Opens a new plan in this tab, has another one change it, and types on. */
function changedByBoth() {
  openAsOwn("new plan", blank());
  const { id } = open;
  const held = store.record(id);
  localStorage.setItem(store.keyOf(id), JSON.stringify({ ...held, plan: { ...held.plan, name: "theirs" }, stamp: "other" }));
  changePlan("name", null, (draft) => {
    draft.name = "mine";
  });
  assert.deepEqual([open.clash, store.record(id).plan.name, store.aside().plan.name], ["changed", "theirs", "mine"]);
  return id;
}

const removed = {
  "under its key": (id) => store.remove(id),
  "for good": (id) => store.forget(id),
};

for (const [how, remove] of Object.entries(removed)) {
  test(`a plan that another tab changes and then removes ${how} is known as removed`, () => {
    const id = changedByBoth();
    remove(id);
    detectClash();
    assert.equal(open.clash, "removed");
    // What was typed here is there to be kept.
    assert.equal(settleClash("mine", "choice", ""), true);
    assert.deepEqual([open.clash, store.record(id).plan.name], ["", "mine"]);
  });

  for (const way of ["theirs", "mine", "both"])
    test(`"${way}" is chosen just as the other tab's version is removed ${how}`, () => {
      const id = changedByBoth();
      remove(id);
      // Of theirs nothing is left to be shown; what was typed here is kept otherwise.
      assert.equal(settleClash(way, "choice", "copy"), way !== "theirs");
      if (way === "mine") assert.equal(store.record(id).plan.name, "mine");
      if (way === "both") assert.deepEqual([open.id !== id, store.record(open.id).plan.name], [true, "copy"]);
    });
}
