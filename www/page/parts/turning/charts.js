// The two charts: toe-out on turns, the ratio over the turn. The core draws on their canvases and says where a value lies; here
// are their keys, sentences and tables, and the mark that follows the steering wheel.

import { drawRatio, drawToeOut } from "../../core.js";
import { h, hide, put, say } from "../../widgets/dom.js";
import { text } from "../../state/state.js";
import { words } from "../../words.js";

const COLOURS = ["sheet", "grid", "ink-2", "line-1", "line-2", "line-3"];
const part = (id) => document.getElementById(id);

/** The look's colours and this page's words, by the names that the core takes; type grows with the reader's. */
function look(wide) {
  const style = getComputedStyle(document.documentElement);
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

/** One chart: `id` of its canvas, the call that draws it, what a position of the axle says of it. */
class Chart {
  constructor(id, draw, place, reading) {
    Object.assign(this, { id, draw, place, reading, data: null, ground: [], near: false, at: null });
  }

  watch() {
    const holder = part(this.id).parentElement;
    // What was drawn for another width says nothing of where a value lies now.
    new ResizeObserver(() => {
      this.ground = [];
      this.put();
      this.later();
    }).observe(holder);
    new IntersectionObserver(
      (seen) => {
        // Of what a busy page tells late the last counts.
        this.near = seen.at(-1).isIntersecting;
        if (this.near) this.later();
      },
      { rootMargin: "400px" },
    ).observe(holder);
  }

  /** Takes other curves, or none: then `why` stands in their place. */
  show(data, why) {
    hide(part(`${this.id}-none`), Boolean(data));
    hide(part(`${this.id}-some`), !data);
    say(part(`${this.id}-none`), why);
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
    const canvas = part(this.id);
    const wide = canvas.parentElement.clientWidth;
    if (!wide) return;
    const high = Math.round(Math.min(360, Math.max(230, wide * 0.62)));
    const { unnamed, ground } = this.draw(canvas, this.data, window.devicePixelRatio || 1, wide, high, look(wide));
    this.ground = ground;
    key(this.id, unnamed, this.data);
    this.put();
  }

  /** Puts the mark where the steering stands, and says the figure there. */
  mark(seen) {
    this.at = seen ? seen[this.place] : null;
    say(part(`${this.id}-here`), seen ? text(seen[this.reading]) : "");
    this.put();
  }

  put() {
    const dot = part(`${this.id}-dot`);
    const [x, x2, left, right, y, y2, bottom, top] = this.ground;
    hide(dot, !this.at || left === undefined);
    if (dot.hidden) return;
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
  // The ratio of pixels can change without the width: a window moved to another screen.
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

/** Shows the curves of one rack; `turn` is what holds for its whole turn, where there is one. */
export function paintCharts(view, i, turn) {
  const { curves } = view.racks[i];
  const any = Boolean(turn && curves && (curves.toe_out_left.length || curves.toe_out_right.length));
  toe.show(any ? { ...curves, band_left: turn.band_left, band_right: turn.band_right } : null, words.turning.toeNone);
  say(part("toe-summary"), curves ? text(curves.summary) : "");
  const lines = Boolean(turn && curves?.ratio.length);
  ratio.show(
    lines ? { ratio: curves.ratio, band_ratio: turn.band_ratio } : null,
    turn && !lines && text(turn.ratio_summary) ? words.turning.ratioNone(text(turn.ratio_summary)) : words.turning.toeNone,
  );
  say(part("ratio-summary"), lines ? text(turn.ratio_summary) : "");
  if (any) {
    put(part("toe"), "aria-label", `${words.turning.toe}. ${text(curves.summary)}`);
    // Which turn it is goes without saying where the two are alike.
    const from = curves.differ ? 0 : 1;
    table(
      "toe-table",
      words.turning.columns.slice(from),
      turn.toe_table.map((row) => row.slice(from)),
    );
  }
  if (lines) {
    put(part("ratio"), "aria-label", `${words.turning.ratio}. ${text(turn.ratio_summary)}`);
    table("ratio-table", words.turning.ratioColumns, turn.ratio_table);
  }
}

/** Follows the steering wheel: `seen` is where the axle stands. */
export function mark(seen) {
  toe.mark(seen);
  ratio.mark(seen);
}

// The lines that found no room for their name on the picture.
function key(id, unnamed, data) {
  const { chart } = words.turning;
  part(`${id}-key`)?.replaceChildren(
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

function table(id, head, rows) {
  const place = part(id);
  const cells = [...place.querySelectorAll("td")];
  if (head.length === place.querySelectorAll("th").length && cells.length === rows.flat().length)
    return rows.flat().forEach((cell, n) => say(cells[n], cell));
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
