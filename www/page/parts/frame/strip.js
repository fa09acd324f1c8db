// The strip that stays in view: the worst about the rack that is shown, and three figures of it. The whole of it leads to the reason.

import { resultTable } from "../../core.js";
import { hide, put } from "../../widgets/dom.js";
import { figure, html, mark, render } from "../../widgets/html.js";
import { open } from "../../state/plan.js";
import { hook, worse } from "../results.js";
import { rackName, state, text } from "../../state/state.js";
import { words } from "../../words.js";

const FIGURES = [
  ["ratio_centre", "ratio"],
  ["turns", "turns"],
  ["circle_centre", "circle"],
];

/** Shows the chosen rack. */
export function paint() {
  const strip = document.getElementById("strip");
  const rack = state.shown.racks[open.draft.chosen];
  put(strip, "aria-label", words.strip.label);
  hide(strip, !rack);
  if (rack) render(said(rack, open.draft.chosen), strip);
}

function said(rack, i) {
  const { kind, head, because } = rack.verdict;
  // The same may be judged on either side, or against either end.
  const wrong = kind === "close" ? "close" : "fail";
  const found = rack.findings.find((f) => f.name === because && f.kind === wrong) ?? rack.findings.find((f) => f.name === because);
  return html`
    <div class="in">
      <div class="row">
        <button type="button" class="worst" data-do="reason">
          <span class="sign" data-kind=${kind}>${mark(kind)}</span>
          <span class="clip"><b>${rackName(i)}</b>: <span>${state.old ? words.said.old : text(found ? found.title : head)}</span></span>
          <span class="sr">. ${words.strip.toReason}</span>
        </button>
        <div class="figs">${FIGURES.map(([name, word]) => one(rack, i, name, word))}</div>
      </div>
    </div>
  `;
}

function one(rack, i, name, word) {
  const result = worse(rack, resultTable.get(name));
  const ok = result?.status === "ok";
  const short = words.strip.short[word];
  return html`
    <div class=${`fig ${word}`}>
      <span class="value" data-result=${ok ? hook(i, result) : null}>${figure(ok ? text(result.text) : words.strip.dash, true)}</span>
      ${short ? html`<span class="short" aria-hidden="true"> ${short}</span>` : null}
      <span class="name">${words.strip[word]}</span>
    </div>
  `;
}
