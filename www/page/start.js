// Start: loads the core, puts the page together, opens the plan.

import * as actions from "./actions/actions.js";
import * as bar from "./parts/frame/bar.js";
import { followAddress, refresh } from "./actions/commit.js";
import { load, readPlan } from "./core.js";
import * as charts from "./widgets/chart.js";
import { byId, findAll, h, updateAttribute, setText } from "./widgets/dom.js";
import { listen } from "./events.js";
import * as form from "./parts/form/form.js";
import { announce } from "./widgets/note.js";
import * as offline from "./offline.js";
import { openAddress } from "./actions/opening.js";
import { paint, partChanged, watch as watchAnswers } from "./paint.js";
import * as parts from "./parts/parts.js";
import { migrate } from "./state/past.js";
import * as place from "./state/place.js";
import { open } from "./state/plan.js";
import { save } from "./state/record.js";
import * as plans from "./parts/frame/plans.js";
import { watchFocus } from "./widgets/reach.js";
import * as row from "./parts/frame/row.js";
import { state, subscribe } from "./state/state.js";
import { rackCentre } from "./widgets/tape/rack.js";
import * as tape from "./widgets/tape/panel.js";
import { words } from "./words.js";
import * as placePart from "./parts/place/place.js";
import * as yard from "./parts/yard/yard.js";

// The core runs again; the keystroke at which it stopped may not be stored yet.
function again() {
  save();
  refresh();
}

function lost() {
  state.trouble = words.bar.lost;
  bar.paint();
}

// Deferred to its own task: the action that is running would clear the message.
function revived() {
  setTimeout(() => {
    state.recovered = words.bar.revived;
    announce(state.recovered);
    bar.paint();
  });
}

/**
 * The text of a path in `words`.
 * @param {string | undefined} path
 */
function textAt(path = "") {
  /** @type {unknown} */
  let at = words;
  for (const key of path.split(".")) at = /** @type {Record<string, unknown>} */ (at)[key];
  if (typeof at !== "string") throw new Error(`no text ${path}`);
  return at;
}

/** Puts the page's words into its frame. */
function fillTexts() {
  for (const place of findAll("[data-word]")) setText(place, textAt(place.dataset.word));
  for (const place of findAll("[data-name]")) updateAttribute(place, "aria-label", textAt(place.dataset.name));
  updateAttribute(byId("plan-name"), "placeholder", words.plan.unnamed);
  byId("centre-steps").before(tape.withSteps(words.rack.centreTitle, [rackCentre()], [])[0]);
  byId("centre-steps").append(...words.rack.centre.map((step) => h("li", {}, step)));
}

actions.register();
fillTexts();
try {
  const [file] = await Promise.all([fetch("example.json").then((answer) => answer.text()), load({ again, lost, revived })]);
  state.example = readPlan(file);
} catch (error) {
  byId("first").remove();
  byId("bar").replaceChildren(h("p", { role: "alert", class: "in" }, words.bar.failed));
  throw error;
}
migrate();
row.build();
plans.build();
subscribe(paint);
parts.start(() => {
  if (!state.ready) return;
  followAddress();
  partChanged();
});
listen();
// The page uses no query string; one that came with a link is removed from the address.
if (location.search) history.replaceState(history.state, "", location.pathname + location.hash);
// A plan that came in by a link is shown from its top.
const asked = parts.split(location.hash.slice(1));
state.resumed = !asked.link || Boolean(history.state?.plan);
// What is read while the core loads is seen before the core works; a page that is not seen has no frames.
if (document.visibilityState === "visible") await new Promise((seen) => requestAnimationFrame(() => setTimeout(seen)));
await openAddress();
watchFocus();
// Read while the core loads, and at the foot of the page from then on.
byId("foot").prepend(byId("caution"));
byId("first").remove();
byId("main").hidden = false;
byId("parts").hidden = false;
// The part that the address names; else Side by side for a friend's plan or the example, and for an own plan the part where it was left.
const before = place.leftParts();
parts.open(asked.part ?? (open.mode === "own" ? before?.chosen : "side"), before ?? {});
state.ready = true;
followAddress();
place.restore(state.resumed, form.unfold);
charts.watch();
watchAnswers();
yard.watch();
placePart.watch();
document.documentElement.dataset.ready = "yes";
offline.start();
