// The head of the page: the plan's name, and the bar with what there is to say and to do.

import { byId, findAll, updateAttribute, setText } from "../../widgets/dom.js";
import { html, renderKeepingFocus } from "../../widgets/html.js";
import { toPlan } from "../../state/format.js";
import { undoable } from "../../state/history.js";
import { open } from "../../state/plan.js";
import { own } from "../../state/record.js";
import { readUnits } from "../../state/units.js";
import * as plans from "./plans.js";
import { planName, state } from "../../state/state.js";
import * as store from "../../state/store.js";
import * as tabs from "../../state/tabs.js";
import { words } from "../../words.js";

/** @typedef {{ what: string, label: string, strong?: boolean }} Button */
/** @typedef {ReturnType<typeof tabs.choice>} Choice */

/** Shows the plan's name, notices and buttons. */
export function paint() {
  header();
  const place = byId("bar");
  const choice = tabs.choice();
  place.className = `bar ${open.mode}${choice ? " clash" : ""}`;
  renderKeepingFocus(
    html`
      <div class="in">
        <div class="lines">${lines(choice).map((line) => html`<p>${line}</p>`)}</div>
        <div class="buttons">${buttons(choice).map(buttonHtml)}</div>
      </div>
    `,
    place,
  );
}

/** @type {(choice: Choice) => string[]} */
function lines(choice) {
  /** @type {(string | false | 0 | undefined)[]} */
  const told = [
    state.linkProblem && words.bar.damaged(state.linkProblem),
    state.trouble,
    state.recovered,
    store.state.trouble && words.bar[store.state.trouble],
    state.earlier,
    state.broken && words.bar.broken(state.broken),
    choice?.[0],
    state.view?.unshown,
  ];
  if (open.mode === "example") told.push(plans.installedAndEmpty() && words.bar.apart, words.bar.what, words.bar.example);
  if (open.mode === "friend") told.push(words.bar.friend(planName(toPlan(open.draft))));
  return told.flatMap((line) => line || []);
}

/** @type {(what: string, label: string, strong?: boolean) => Button} */
const button = (what, label, strong = false) => ({ what, label, strong });

/** @type {(choice: Choice) => Button[]} */
function buttons(choice) {
  const all = state.linkProblem ? [button("drop", words.do.drop)] : [];
  if (choice) all.push(...choice[1]);
  if (open.mode === "example") {
    if (plans.installedAndEmpty()) all.push(button("paste", words.bar.paste));
    if (own()) all.push(button("mine", words.do.mine, true), button("start", words.do.fresh));
    else all.push(button("start", words.do.start, true));
  } else if (open.mode === "friend") all.push(button("keep", words.do.keep, true), button("back", words.do.back));
  else if (!choice) all.push(button("undo", words.do.undo), button("example", words.do.example), button("start", words.do.fresh));
  if (!choice) all.push(button("share", words.do.share, open.mode === "own"));
  return all;
}

/** @type {(button: Button) => unknown} */
function buttonHtml({ what, label, strong }) {
  const back = what === "undo" ? undoable() : "";
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
  const name = byId("plan-name", HTMLInputElement);
  if (name.value !== open.draft.name) name.value = open.draft.name;
  name.readOnly = open.mode === "friend";
  document.body.classList.toggle("locked", open.mode === "friend");
  for (const button of findAll("[data-units]")) {
    const units = button.dataset.units === "inch" ? "inch" : "mm";
    updateAttribute(button, "aria-pressed", String(units === readUnits()));
    setText(button, words.units[units]);
  }
}
