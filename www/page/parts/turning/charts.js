// The two charts: toe-out on turns, the ratio over the turn. The core draws on their canvases and returns the axes' pixel positions; legends,
// sentences, tables and the mark that follows the steering wheel are made here.

import { drawRatio, drawToeOut } from "../../core.js";
import { byId, h, setHidden, updateAttribute, setText } from "../../widgets/dom.js";
import { text } from "../../state/state.js";
import { words } from "../../words.js";

/** @import { AxleDrawing, CurvesView, TurnView } from "../../../types/core" */
/** @import { ChartCall, Chart as Drawn } from "../../../types/donorack" */
/** @import { Answer } from "../../../types/page" */
/** @typedef {Partial<CurvesView & TurnView>} Curves what a chart draws */

const COLOURS = ["sheet", "grid", "ink-2", "line-1", "line-2", "line-3"];

/**
 * Colours of the theme and texts of the axes, by the names that the core takes; the font size follows the root element's.
 * @type {(wide: number) => object}
 */
function look(wide) {
  const style = getComputedStyle(document.documentElement);
  /** @type {(name: string) => string} */
  const read = (name) => style.getPropertyValue(`--${name}`).trim();
  const colours = Object.fromEntries(COLOURS.map((name) => [name.replace("-", "_"), read(name)]));
  const size = Math.min(28, Math.round(0.875 * (parseFloat(style.fontSize) || 16)));
  const { chart } = words.turning;
  const names = wide < 23 * size ? { ...chart, turns: chart.fewTurns } : chart;
  return {
    ...colours,
    rule: colours.grid || read("rule"),
    heavy: Number(read("heavy")) || 1,
    size,
    family: getComputedStyle(document.body).fontFamily,
    words: names,
  };
}

/** @type {(element: HTMLElement) => HTMLElement} */
const parentOf = (element) => element.parentElement ?? element;

/** One chart: `id` of its canvas, the call that draws it, what a position of the axle says of it. */
class Chart {
  /** @type {Curves | null} */
  data = null;
  /** @type {number[]} */
  ground = [];
  /** @type {[number, number] | null} */
  at = null;
  near = false;
  waiting = false;

  /**
   * @param {"toe" | "ratio"} id
   * @param {(...given: ChartCall) => Drawn} draw
   * @param {"toe_out" | "ratio"} place
   * @param {"toe_out_text" | "ratio_text"} reading
   */
  constructor(id, draw, place, reading) {
    this.id = id;
    this.draw = draw;
    this.place = place;
    this.reading = reading;
  }

  watch() {
    const holder = parentOf(byId(this.id));
    // The axes' pixel positions hold for the width that was drawn.
    new ResizeObserver(() => {
      this.ground = [];
      this.put();
      this.later();
    }).observe(holder);
    new IntersectionObserver(
      (seen) => {
        // Several entries may arrive at once: the last one is the current state.
        this.near = seen.at(-1)?.isIntersecting ?? false;
        if (this.near) this.later();
      },
      { rootMargin: "400px" },
    ).observe(holder);
  }

  /**
   * Takes other curves, or none: then the sentence `why` is shown instead.
   * @param {Curves | null} data
   * @param {string} why
   */
  show(data, why) {
    setHidden(byId(`${this.id}-none`), Boolean(data));
    setHidden(byId(`${this.id}-some`), !data);
    setText(byId(`${this.id}-none`), why);
    this.data = data;
    if (data) this.later();
  }

  later() {
    if (this.waiting) return;
    this.waiting = true;
    requestAnimationFrame(() => {
      this.waiting = false;
      if (this.data && this.near) this.paint();
    });
  }

  paint() {
    const canvas = byId(this.id, HTMLCanvasElement);
    const wide = parentOf(canvas).clientWidth;
    if (!wide || !this.data) return;
    const high = Math.round(Math.min(360, Math.max(230, wide * 0.62)));
    const { unnamed, ground } = this.draw(canvas, this.data, window.devicePixelRatio || 1, wide, high, look(wide));
    this.ground = ground;
    legend(this.id, unnamed, this.data);
    this.put();
  }

  /**
   * Puts the mark at the axle's position on the curve, and shows the figure there.
   * @param {AxleDrawing | null} seen
   */
  mark(seen) {
    this.at = seen ? seen[this.place] : null;
    setText(byId(`${this.id}-here`), seen ? text(seen[this.reading]) : "");
    this.put();
  }

  put() {
    const dot = byId(`${this.id}-dot`);
    const [x, x2, left, right, y, y2, bottom, top] = this.ground;
    setHidden(dot, !this.at || left === undefined);
    if (dot.hidden || !this.at) return;
    const [across, up] = this.at;
    dot.style.transform = `translate(${(left + ((across - x) / (x2 - x)) * (right - left)).toFixed(2)}px, ${(bottom + ((up - y) / (y2 - y)) * (top - bottom)).toFixed(2)}px)`;
  }
}

const toe = new Chart("toe", drawToeOut, "toe_out", "toe_out_text");
const ratio = new Chart("ratio", drawRatio, "ratio", "ratio_text");

/** Watches for what makes a drawn canvas wrong: another width, sharpness or look, out of sight and back. */
export function watch() {
  const both = [toe, ratio];
  for (const chart of both) chart.watch();
  const again = () => both.forEach((chart) => chart.later());
  document.addEventListener("lookchange", again);
  // The device pixel ratio can change without the width: a window moved to another screen.
  const sharpness = () =>
    matchMedia(`(resolution: ${window.devicePixelRatio}dppx)`).addEventListener(
      "change",
      () => {
        again();
        sharpness();
      },
      { once: true },
    );
  sharpness();
}

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
  toe.mark(seen);
  ratio.mark(seen);
}

// The legend: lines that had no room for their label on the chart.
/** @type {(id: string, unnamed: string[], data: Curves) => void} */
function legend(id, unnamed, data) {
  /** @type {Record<string, string>} */
  const chart = words.turning.chart;
  document
    .getElementById(`${id}-key`)
    ?.replaceChildren(
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

/** @type {(id: string, head: string[], rows: string[][]) => void} */
function table(id, head, rows) {
  const place = byId(id);
  const cells = [...place.querySelectorAll("td")];
  if (head.length === place.querySelectorAll("th").length && cells.length === rows.flat().length)
    return rows.flat().forEach((cell, n) => setText(cells[n], cell));
  return place.replaceChildren(
    h(
      "thead",
      {},
      h(
        "tr",
        {},
        head.map((name) => h("th", { scope: "col" }, name)),
      ),
    ),
    h(
      "tbody",
      {},
      rows.map((row) =>
        h(
          "tr",
          {},
          row.map((cell) => h("td", {}, cell)),
        ),
      ),
    ),
  );
}
