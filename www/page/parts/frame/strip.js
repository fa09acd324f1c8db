// The strip that stays in view: the worst finding of the rack shown, and three figures. A tap leads to the finding.

import { resultOf } from "../../core.js";
import { byId, setHidden, updateAttribute } from "../../widgets/dom.js";
import { figure, html, mark, render } from "../../widgets/html.js";
import { open } from "../../state/plan.js";
import { figureId, worse } from "../results.js";
import { rackName, state, text } from "../../state/state.js";
import { words } from "../../words.js";

/** @import { RackView } from "../../../types/core" */

const FIGURES = /** @type {const} */ ([
  ["ratio_centre", "ratio"],
  ["turns", "turns"],
  ["circle_centre", "circle"],
]);

/** Shows the chosen rack. */
export function paint() {
  const strip = byId("strip");
  const rack = state.shown?.racks[open.draft.chosen];
  updateAttribute(strip, "aria-label", words.strip.label);
  setHidden(strip, !rack);
  if (rack) render(content(rack, open.draft.chosen), strip);
}

/** @type {(rack: RackView, i: number) => unknown} */
function content(rack, i) {
  const { kind, head, because } = rack.verdict;
  // A demand may be judged for both sides, or at both ends: the side that fails is taken.
  const wrong = kind === "close" ? "close" : "fail";
  const found = rack.findings.find((f) => f.name === because && f.kind === wrong) ?? rack.findings.find((f) => f.name === because);
  return html`
    <div class="in">
      <div class="row">
        <button type="button" class="worst" data-do="reason">
          <span class="sign" data-kind=${kind}>${mark(kind)}</span>
          <span class="clip"><b>${rackName(i)}</b>: <span>${state.stale ? words.said.old : text(found ? found.title : head)}</span></span>
          <span class="sr">. ${words.strip.toReason}</span>
        </button>
        <div class="figs">${FIGURES.map(([name, word]) => figureOf(rack, i, name, word))}</div>
      </div>
    </div>
  `;
}

/** @type {(rack: RackView, i: number, name: string, word: "ratio" | "turns" | "circle") => unknown} */
function figureOf(rack, i, name, word) {
  const result = worse(rack, resultOf(name));
  const shown = result?.status === "ok" ? result : null;
  const short = words.strip.short[word];
  return html`
    <div class=${`fig ${word}`}>
      <span class="value" data-result=${shown && figureId(i, shown)}>${figure(shown ? text(shown.text) : words.strip.dash, true)}</span>
      ${short ? html`<span class="short" aria-hidden="true"> ${short}</span>` : null}
      <span class="name">${words.strip[word]}</span>
    </div>
  `;
}
