// The two charts of Turning: toe-out on turns, the ratio over the turn. Legends, sentences and tables are made here.

import { drawRatio, drawToeOut } from "../../core.js";
import { Chart, table } from "../../widgets/chart.js";
import { byId, h, setText, updateAttribute } from "../../widgets/dom.js";
import { text } from "../../state/state.js";
import { words } from "../../words.js";

/** @import { AxleDrawing, TurnView } from "../../../types/core" */
/** @import { Answer } from "../../../types/page" */
/** @import { Curves, Wording } from "../../widgets/chart.js" */

/** @type {Wording} */
const wording = (narrow) => {
  const { chart } = words.turning;
  return narrow ? { ...chart, turns: chart.fewTurns } : chart;
};
const toe = new Chart("toe", drawToeOut, wording, { legend });
const ratio = new Chart("ratio", drawRatio, wording);

/**
 * Shows the curves of one rack; `turn` is its view from lock to lock, where there is one.
 * @type {(view: Answer, i: number, turn: TurnView | null) => void}
 */
export function paintCharts(view, i, turn) {
  const { curves } = view.racks[i];
  const any = turn && (curves.toe_out_left.length || curves.toe_out_right.length);
  toe.show(any ? { ...curves, band_left: turn.band_left, band_right: turn.band_right } : null, words.turning.toeNone);
  setText(byId("toe-summary"), text(curves.summary));
  const lines = turn && curves.ratio.length;
  ratio.show(
    lines ? { ratio: curves.ratio, band_ratio: turn.band_ratio } : null,
    turn && !lines && text(turn.ratio_summary) ? words.turning.ratioNone(text(turn.ratio_summary)) : words.turning.toeNone,
  );
  setText(byId("ratio-summary"), lines ? text(turn.ratio_summary) : "");
  if (any) {
    updateAttribute(byId("toe"), "aria-label", `${words.turning.toe}. ${text(curves.summary)}`);
    // The column "Turn" is left out where left and right turn are alike.
    const from = curves.differ ? 0 : 1;
    table(
      "toe-table",
      words.turning.columns.slice(from),
      turn.toe_table.map((row) => row.slice(from)),
    );
  }
  if (lines) {
    updateAttribute(byId("ratio"), "aria-label", `${words.turning.ratio}. ${text(turn.ratio_summary)}`);
    table("ratio-table", words.turning.ratioColumns, turn.ratio_table);
  }
}

/**
 * Moves the marks with the steering wheel: `seen` is the axle's position.
 * @type {(seen: AxleDrawing | null) => void}
 */
export function mark(seen) {
  toe.mark(seen?.toe_out ?? null, text(seen?.toe_out_text));
  ratio.mark(seen?.ratio ?? null, text(seen?.ratio_text));
}

// The legend: lines that had no room for their label on the chart.
/** @type {(unnamed: string[], data: Curves) => void} */
function legend(unnamed, data) {
  /** @type {Record<string, string>} */
  const chart = words.turning.chart;
  byId("toe-key").replaceChildren(
    ...unnamed.map((line) =>
      h(
        "li",
        {},
        h("span", { class: `stroke ${line}`, "aria-hidden": "true" }),
        line === "left" && !data.differ ? chart.rack : chart[line],
      ),
    ),
  );
}
