// What a figure rests on: asked of the core when its details are open.

import { explain } from "../../core.js";
import { html, render } from "../../widgets/html.js";
import { open, readUnits } from "../../state/plan.js";
import { results } from "../results.js";
import { state, text } from "../../state/state.js";
import { words } from "../../words.js";

const PAUSE = 150; // ms from a change until what is open follows
const asked = new WeakMap(); // for what each figure's answer was asked
let timer = null;

/** A figure's details were opened or closed. */
export const opened = ({ currentTarget }) => fill(currentTarget);

/** What is open follows the plan, a moment after it has changed. */
export function follow() {
  clearTimeout(timer);
  timer = setTimeout(() => document.querySelectorAll("#figures .fact[open]").forEach(fill), PAUSE);
}

function fill(details) {
  const rack = open.draft.chosen;
  if (!details.open || !state.shown?.racks[rack]) return;
  const name = details.dataset.fact;
  const all = results(state.shown.racks[rack], name);
  const key = JSON.stringify([state.shownPlan, rack, all.map((r) => r.side), readUnits()]);
  if (asked.get(details) === key) return;
  asked.set(details, key);
  const told = all
    .map((r, side) => [all.length > 1 ? r.side : "", explain(state.shownPlan, rack, name, side)])
    .filter(([, answer]) => answer);
  const same = told.length > 1 && JSON.stringify(told[0][1]) === JSON.stringify(told[1][1]);
  render(
    html`
      ${(same ? [["", told[0][1]]] : told).map(list)}
      ${told.length ? html`<p>${words.rests.source}: ${told[0][1].source}.</p>` : null}
    `,
    details.querySelector(".rests-on"),
  );
}

const list = ([side, { inputs }]) => html`
  <p>${words.rests.title}${side ? ` (${side})` : ""}:${inputs.length ? "" : ` ${words.rests.nothing}`}</p>
  <ul class="rests">${inputs.map(one)}</ul>
`;

function one({ name, label, typed, pm, mark, share }) {
  const names = state.shownPlan.racks.map((rack) => rack.name ?? "");
  const beside = [text(pm), words.apart(mark, names), share && words.rests.of(share)].filter(Boolean).join(" · ");
  return html`<li data-rests=${name}>${label}: <b>${typed}</b><small>${beside}</small></li>`;
}
