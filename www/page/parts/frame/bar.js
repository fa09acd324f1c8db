// The head of the page: the plan's name, and the bar with what there is to say and to do.

import { put, say } from "../../widgets/dom.js";
import { html, show } from "../../widgets/html.js";
import * as plan from "../../state/plan.js";
import { open } from "../../state/plan.js";
import * as plans from "./plans.js";
import { nameOf, state } from "../../state/state.js";
import * as store from "../../state/store.js";
import * as tabs from "../../state/tabs.js";
import { words } from "../../words.js";

const part = (id) => document.getElementById(id);

/** Shows the plan's name, notices and buttons. */
export function paint() {
  header();
  const place = part("bar");
  const choice = tabs.choice();
  place.className = `bar ${open.mode}${choice ? " clash" : ""}`;
  show(
    html`
      <div class="in">
        <div class="lines">${lines(choice).map((line) => html`<p>${line}</p>`)}</div>
        <div class="buttons">${buttons(choice).map(made)}</div>
      </div>
    `,
    place,
  );
}

function lines(choice) {
  const told = [
    state.damaged && words.bar.damaged(state.damaged),
    state.trouble,
    state.relief,
    store.state.trouble && words.bar[store.state.trouble],
    state.earlier,
    state.broken && words.bar.broken(state.broken),
    choice?.[0],
    state.view?.unshown,
  ];
  if (open.mode === "example") told.push(plans.installedAndEmpty() && words.bar.apart, words.bar.what, words.bar.example);
  if (open.mode === "friend") told.push(words.bar.friend(nameOf(plan.toPlan(open.draft))));
  return told.filter(Boolean);
}

const button = (what, label, strong = false) => ({ what, label, strong });

function buttons(choice) {
  const all = state.damaged ? [button("drop", words.do.drop)] : [];
  if (choice) all.push(...choice[1]);
  if (open.mode === "example") {
    if (plans.installedAndEmpty()) all.push(button("paste", words.bar.paste));
    if (plan.own()) all.push(button("mine", words.do.mine, true), button("start", words.do.fresh));
    else all.push(button("start", words.do.start, true));
  } else if (open.mode === "friend") all.push(button("keep", words.do.keep, true), button("back", words.do.back));
  else if (!choice) all.push(button("undo", words.do.undo), button("example", words.do.example), button("start", words.do.fresh));
  if (!choice) all.push(button("share", words.do.share, open.mode === "own"));
  return all;
}

function made({ what, label, strong }) {
  const back = what === "undo" ? plan.undoable() : "";
  return html`
    <button
      type="button"
      class=${strong ? "strong" : "quiet"}
      data-do=${what}
      data-focus=${`bar-${what}`}
      ?disabled=${back === null}
      aria-label=${back ? `${words.do.undo}: ${back}` : null}
    >
      ${label}
    </button>
  `;
}

function header() {
  const name = part("plan-name");
  if (name.value !== open.draft.name) name.value = open.draft.name;
  name.readOnly = open.mode === "friend";
  document.body.classList.toggle("locked", open.mode === "friend");
  for (const button of document.querySelectorAll("[data-units]")) {
    put(button, "aria-pressed", String(button.dataset.units === plan.readUnits()));
    say(button, words.units[button.dataset.units]);
  }
}
