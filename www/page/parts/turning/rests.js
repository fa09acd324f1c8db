// What a figure rests on: asked of the core when its details are open.

import { explain } from "../../core.js";
import { find, findAll } from "../../widgets/dom.js";
import { html, render } from "../../widgets/html.js";
import { open } from "../../state/plan.js";
import { readUnits } from "../../state/units.js";
import { results } from "../results.js";
import { state, text } from "../../state/state.js";
import { words } from "../../words.js";

/** @import { Explained, ExplainedInput } from "../../../types/core" */

const PAUSE = 150; // ms from a change until open details follow
/** @type {WeakMap<HTMLDetailsElement, string>} */
const asked = new WeakMap(); // for which plan and figure each one was filled
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

/**
 * A figure's details were opened or closed.
 * @type {(event: Event) => void}
 */
export function onToggle({ currentTarget }) {
  if (currentTarget instanceof HTMLDetailsElement) paintDetails(currentTarget);
}

/** What is open follows the plan, a moment after it has changed. */
export function follow() {
  clearTimeout(timer);
  timer = setTimeout(() => findAll("#figures .fact[open]", document, HTMLDetailsElement).forEach(paintDetails), PAUSE);
}

/** @type {(details: HTMLDetailsElement) => void} */
function paintDetails(details) {
  const rack = open.draft.chosen;
  const { shownPlan: plan } = state;
  const place = find(".rests-on", details);
  if (!details.open || !state.shown?.racks[rack] || !plan || !place) return;
  const name = details.dataset.fact ?? "";
  const all = results(state.shown.racks[rack], name);
  const key = JSON.stringify([plan, rack, all.map((r) => r.side), readUnits()]);
  if (asked.get(details) === key) return;
  asked.set(details, key);
  const told = all
    .map((r, side) => ({ side: all.length > 1 ? r.side : "", answer: explain(plan, rack, name, side) }))
    .flatMap(({ side, answer }) => (answer ? [{ side, answer }] : []));
  const same = told.length > 1 && JSON.stringify(told[0].answer) === JSON.stringify(told[1].answer);
  render(
    html`
      ${(same ? [{ side: "", answer: told[0].answer }] : told).map(inputList)}
      ${told.length ? html`<p>${words.rests.source}: ${told[0].answer.source}.</p>` : null}
    `,
    place,
  );
}

/** @type {(told: { side: string, answer: Explained }) => unknown} */
const inputList = ({ side, answer: { inputs } }) => html`
  <p>${words.rests.title}${side ? ` (${side})` : ""}:${inputs.length ? "" : ` ${words.rests.nothing}`}</p>
  <ul class="rests">${inputs.map(inputRow)}</ul>
`;

/** @type {(input: ExplainedInput) => unknown} */
function inputRow({ name, label, typed, pm, mark, share }) {
  const names = (state.shownPlan?.racks ?? []).map((rack) => rack.name ?? "");
  const beside = [text(pm), words.apart(mark, names), share && words.rests.of(share)].filter(Boolean).join(" · ");
  return html`<li data-rests=${name}>${label}: <b>${typed}</b><small>${beside}</small></li>`;
}
