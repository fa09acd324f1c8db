// Start: loads the core, puts the page together, opens the plan.

import * as actions from "./actions/actions.js";
import * as bar from "./parts/frame/bar.js";
import { follow, refresh } from "./actions/commit.js";
import { load, readPlan } from "./core.js";
import * as charts from "./parts/turning/charts.js";
import { h, put, say } from "./widgets/dom.js";
import { listen } from "./events.js";
import { tell } from "./widgets/note.js";
import * as offline from "./offline.js";
import { begin } from "./actions/opening.js";
import { paint, turned, watch as watchAnswers } from "./paint.js";
import * as parts from "./parts/parts.js";
import { migrate } from "./state/past.js";
import * as place from "./state/place.js";
import * as plan from "./state/plan.js";
import { open } from "./state/plan.js";
import * as plans from "./parts/frame/plans.js";
import { watch } from "./widgets/reach.js";
import * as row from "./parts/frame/row.js";
import { state, subscribe } from "./state/state.js";
import { centre } from "./widgets/tape/rack.js";
import * as tape from "./widgets/tape/panel.js";
import { words } from "./words.js";
import * as yard from "./parts/yard/yard.js";

const part = (id) => document.getElementById(id);

// The core has come back; the key at which it stopped may not be stored yet.
function again() {
  plan.save();
  refresh();
}

function lost() {
  state.trouble = words.bar.lost;
  bar.paint();
}

// In a task of its own: what is being done just now would take the sentence away.
function revived() {
  setTimeout(() => {
    state.relief = words.bar.revived;
    tell(state.relief);
    bar.paint();
  });
}

/** Puts the page's words into its frame. */
function furnish() {
  for (const place of document.querySelectorAll("[data-word]")) {
    say(
      place,
      place.dataset.word.split(".").reduce((at, key) => at[key], words),
    );
  }
  for (const place of document.querySelectorAll("[data-name]"))
    put(
      place,
      "aria-label",
      place.dataset.name.split(".").reduce((at, key) => at[key], words),
    );
  put(part("plan-name"), "placeholder", words.plan.unnamed);
  part("centre-steps").before(tape.shown(words.rack.centreTitle, [centre()], [])[0]);
  part("centre-steps").append(...words.rack.centre.map((step) => h("li", {}, step)));
}

actions.register();
furnish();
try {
  const [file] = await Promise.all([fetch("example.json").then((answer) => answer.text()), load({ again, lost, revived })]);
  state.example = readPlan(file);
} catch (error) {
  part("first").remove();
  part("bar").replaceChildren(h("p", { role: "alert", class: "in" }, words.bar.failed));
  throw error;
}
migrate();
row.build();
plans.build();
subscribe(paint);
parts.start(() => {
  if (!state.ready) return;
  follow();
  turned();
});
listen();
// Nothing here is asked of the page by a query; one that came with a link goes no further.
if (location.search) history.replaceState(history.state, "", location.pathname + location.hash);
// A plan that came in by a link is shown from its top.
const asked = parts.split(location.hash.slice(1));
state.stayed = !asked.link || Boolean(history.state?.plan);
begin();
watch();
part("first").remove();
part("main").hidden = false;
part("parts").hidden = false;
// A part that the address names; else where a friend's link or the example is read, or where the own plan was left.
const before = place.leftParts();
parts.open(asked.part ?? (open.mode === "own" ? before?.chosen : "side"), before ?? {});
state.ready = true;
follow();
place.restore(state.stayed);
charts.watch();
watchAnswers();
yard.watch();
document.documentElement.dataset.ready = "yes";
offline.start();
