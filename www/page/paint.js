// When the state is shown: at once what is in sight, in a pause what is not.

import * as bar from "./parts/frame/bar.js";
import * as bump from "./parts/bump/bump.js";
import * as placePart from "./parts/place/place.js";
import { refresh } from "./actions/commit.js";
import { prepare } from "./core.js";
import * as side from "./parts/side/side.js";
import * as beside from "./parts/frame/beside.js";
import { byId, closest, find, setHidden, updateAttribute } from "./widgets/dom.js";
import * as fields from "./widgets/fields.js";
import * as form from "./parts/form/form.js";
import * as parts from "./parts/parts.js";
import * as points from "./parts/points/points.js";
import { toPlan } from "./state/format.js";
import { open } from "./state/plan.js";
import { focusedField, keepInPlace } from "./widgets/reach.js";
import * as row from "./parts/frame/row.js";
import { askCore, blankRack, state } from "./state/state.js";
import * as strip from "./parts/frame/strip.js";
import * as tape from "./widgets/tape/panel.js";
import * as turning from "./parts/turning/turning.js";
import * as yard from "./parts/yard/yard.js";

/**
 * Shows everything, without moving the field that holds the focus.
 * @type {(typing: boolean) => void}
 */
export const paint = (typing) => keepInPlace(focusedField(), () => paintAll(typing));

/** @type {(typing: boolean) => void} */
function paintAll(typing) {
  document.body.classList.toggle("old", state.stale);
  setHidden(byId("old"), !state.stale);
  bar.paint();
  beside.paint();
  form.paintHeads();
  if (!state.view) return;
  points.paint();
  askCore(() => bump.paint(typing));
  askCore(() => placePart.paint(typing));
  fields.paint();
  tape.update();
  yard.paint();
  strip.paint();
  row.paint();
  paintFirstRack();
  for (const id of Object.keys(longAnswers)) {
    if (typing && outOfSight(id)) postpone(id);
    else answer(id);
  }
  if (state.view.pending) postpone("compare");
}

// The large button for an empty plan's first rack.
function paintFirstRack() {
  const empty = open.mode !== "friend" && open.draft.racks.every(blankRack);
  setHidden(byId("first-rack"), !empty || !parts.inFront("racks"));
}

// ---- Side by side and Turning, which take long ----

// By the id of their section.
/** @type {Record<string, () => void>} */
const longAnswers = {
  compare: () => side.paint(),
  "turn-round": () => {
    const before = state.trouble;
    askCore(turning.paint);
    if (state.trouble !== before) bar.paint();
  },
};
const PAUSE = 100; // ms without a key, until those out of sight follow
/** @type {Set<string>} */
const outside = new Set(); // ids of those that are out of sight by more than the margin
/** @type {Set<string>} */
const postponed = new Set(); // ids of those that are not up to date
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

/** @type {(id: string) => boolean} */
const outOfSight = (id) => outside.has(id) || Boolean(byId(id).hidden);

/** Watches which of the long answers are in sight. */
export function watch() {
  const sight = new IntersectionObserver(
    (seen) => {
      for (const { target, isIntersecting } of seen) {
        if (isIntersecting) outside.delete(target.id);
        else outside.add(target.id);
      }
      if (postponed.size) catchUp();
    },
    { rootMargin: "400px" },
  );
  for (const id of Object.keys(longAnswers)) sight.observe(byId(id));
}

/** @type {(id: string) => void} */
function postpone(id) {
  postponed.add(id);
  updateAttribute(byId(id), "aria-busy", "true");
  clearTimeout(timer);
  timer = setTimeout(catchUp, PAUSE);
}

function catchUp() {
  if (!postponed.size) return;
  const { view } = state;
  if (!view?.pending) return keepInPlace(focusedField(), () => postponed.forEach(answer));
  // Until the next key.
  const wanted = () => state.view === view;
  const prepared = prepare(toPlan(open.draft), wanted);
  if (prepared) prepared.then(() => wanted() && refresh());
  else refresh();
}

/** @type {(id: string) => void} */
function answer(id) {
  postponed.delete(id);
  updateAttribute(byId(id), "aria-busy", null);
  longAnswers[id]();
}

/** Another part has come to the front. */
export function partChanged() {
  paintFirstRack();
  points.paint();
  askCore(() => bump.paint(false));
  askCore(() => placePart.paint(false));
  if (state.view?.pending) refresh();
  else if (postponed.size) keepInPlace(null, () => postponed.forEach((id) => byId(id).hidden || answer(id)));
}

// ---- the form ----

/** Builds the form for another draft: what had the focus has it still, and nothing else stays as it was being filled in. */
export function rebuild() {
  const held = document.activeElement;
  const field = held?.getAttribute("data-field") ?? null;
  const focus = closest(held, "[data-focus]")?.dataset.focus ?? null;
  fields.hideKeys();
  form.build();
  if (document.activeElement !== held) {
    const again = field ? `[data-field="${field}"]` : focus ? `#forms [data-focus="${focus}"]` : null;
    if (again) find(again)?.focus({ preventScroll: true });
  }
  const path = fields.focusedPath();
  if (path) return fields.showKeys(path);
  document.querySelector(".field.on")?.classList.remove("on");
  return tape.remove();
}
