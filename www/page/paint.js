// What is shown of the state, and when: at once what is in sight, in a pause what is not.

import * as bar from "./parts/frame/bar.js";
import { refresh } from "./actions/commit.js";
import * as compare from "./parts/side/side.js";
import * as beside from "./parts/frame/beside.js";
import { hide, put } from "./widgets/dom.js";
import * as fields from "./widgets/fields.js";
import * as form from "./parts/form/form.js";
import * as parts from "./parts/parts.js";
import { open } from "./state/plan.js";
import { held, steady } from "./widgets/reach.js";
import * as row from "./parts/frame/row.js";
import { attempt, blankRack, state } from "./state/state.js";
import * as strip from "./parts/frame/strip.js";
import * as tape from "./widgets/tape/panel.js";
import * as turning from "./parts/turning/turning.js";
import * as yard from "./parts/yard/yard.js";

const part = (id) => document.getElementById(id);

/** Shows everything, without moving the field that holds the focus. */
export const paint = (typing) => steady(held(), () => all(typing));

function all(typing) {
  document.body.classList.toggle("old", state.old);
  hide(part("old"), !state.old);
  bar.paint();
  beside.paint();
  form.paintHeads();
  if (!state.view) return;
  fields.paint();
  tape.follow();
  yard.paint();
  strip.paint();
  row.paint();
  thumb();
  for (const id of Object.keys(answers)) {
    if (typing && outOfSight(id)) postpone(id);
    else answer(id);
  }
  if (state.view.pending) postpone("compare");
}

// An empty plan's first rack is under the thumb.
function thumb() {
  const empty = open.mode !== "friend" && open.draft.racks.every(blankRack);
  hide(part("first-rack"), !empty || !parts.inFront("racks"));
}

// ---- the long answers ----

// By the section they stand in.
const answers = {
  compare: () => compare.paint(),
  "turn-round": () => {
    const before = state.trouble;
    attempt(turning.paint);
    if (state.trouble !== before) bar.paint();
  },
};
const PAUSE = 100; // ms without a key, until those out of sight follow
const away = new Set(); // those that are out of sight, and not nearly in it
const behind = new Set(); // those that have yet to follow what was typed
let pause = null;

const outOfSight = (id) => away.has(id) || part(id).hidden;

/** Watches which of the long answers are in sight. */
export function watch() {
  const sight = new IntersectionObserver(
    (seen) => {
      for (const { target, isIntersecting } of seen) {
        if (isIntersecting) away.delete(target.id);
        else away.add(target.id);
      }
      if (behind.size) catchUp();
    },
    { rootMargin: "400px" },
  );
  for (const id of Object.keys(answers)) sight.observe(part(id));
}

function postpone(id) {
  behind.add(id);
  put(part(id), "aria-busy", "true");
  clearTimeout(pause);
  pause = setTimeout(catchUp, PAUSE);
}

const catchUp = () => behind.size && (state.view?.pending ? refresh() : steady(held(), () => behind.forEach(answer)));

function answer(id) {
  behind.delete(id);
  put(part(id), "aria-busy", null);
  answers[id]();
}

/** Another part has come to the front. */
export function turned() {
  thumb();
  if (state.view?.pending) refresh();
  else if (behind.size) steady(null, () => behind.forEach((id) => part(id).hidden || answer(id)));
}

// ---- the form ----

/** Builds the form for another draft: what had the focus has it still, and nothing else stays as it was being filled in. */
export function rebuild() {
  const held = document.activeElement;
  const { field = null } = held?.dataset ?? {};
  const focus = held?.closest?.("[data-focus]")?.dataset.focus ?? null;
  fields.hideKeys();
  form.build();
  if (document.activeElement !== held) {
    const again = field ? `[data-field="${field}"]` : focus ? `#forms [data-focus="${focus}"]` : null;
    if (again) document.querySelector(again)?.focus({ preventScroll: true });
  }
  const path = fields.focusedPath();
  if (path) return fields.showKeys(path);
  document.querySelector(".field.on")?.classList.remove("on");
  return tape.away();
}
