// The strip that stays in view: the worst about the rack that is shown, and three figures of it. The whole of it leads to the reason.

import { resultTable } from "../core.js";
import { figure, h, hide, mark, put, say } from "../widgets/dom.js";
import { rackName } from "./form.js";
import { open } from "../plan.js";
import { hook, worse } from "./results.js";
import { words } from "../words.js";

const FIGURES = [
  ["ratio_centre", "ratio"],
  ["turns", "turns"],
  ["circle_centre", "circle"],
];
let boxes = null;

/** Builds the strip once. */
export function build(act) {
  const strip = document.getElementById("strip");
  put(strip, "aria-label", words.strip.label);
  boxes = {
    name: h("b", {}),
    figures: FIGURES.map(([, word]) => ({ value: h("span", { class: "value" }), root: h("div", { class: `fig ${word}` }) })),
    sign: h("span", { class: "sign" }),
    words: h("span", {}),
  };
  FIGURES.forEach(([, word], i) =>
    boxes.figures[i].root.append(
      boxes.figures[i].value,
      words.strip.short[word] ? h("span", { class: "short", "aria-hidden": "true" }, ` ${words.strip.short[word]}`) : "",
      h("span", { class: "name" }, words.strip[word]),
    ),
  );
  strip.append(
    h(
      "div",
      { class: "in" },
      h(
        "div",
        { class: "row" },
        h(
          "button",
          { type: "button", class: "worst", "data-do": "reason", onclick: act.reason },
          boxes.sign,
          h("span", { class: "clip" }, boxes.name, ": ", boxes.words),
          h("span", { class: "sr" }, `. ${words.strip.toReason}`),
        ),
        h(
          "div",
          { class: "figs" },
          boxes.figures.map((f) => f.root),
        ),
      ),
    ),
  );
}

/** Shows the chosen rack. */
export function paint(view, text, old) {
  const i = open.draft.chosen;
  const rack = view.racks[i];
  hide(document.getElementById("strip"), !rack);
  if (!rack) return;
  say(boxes.name, rackName(i));
  for (const [n, [name]] of FIGURES.entries()) {
    const result = worse(rack, resultTable.get(name));
    const ok = result?.status === "ok";
    put(boxes.figures[n].value, "data-result", ok ? hook(i, result) : null);
    figure(boxes.figures[n].value, ok ? text(result.text) : words.strip.dash, true);
  }
  const { kind, head, because } = rack.verdict;
  // The same may be judged on either side, or against either end.
  const wrong = kind === "close" ? "close" : "fail";
  const found = rack.findings.find((f) => f.name === because && f.kind === wrong) ?? rack.findings.find((f) => f.name === because);
  if (boxes.sign.dataset.kind !== kind) boxes.sign.replaceChildren(mark(kind));
  boxes.sign.dataset.kind = kind;
  say(boxes.words, old ? words.said.old : text(found ? found.title : head));
}
