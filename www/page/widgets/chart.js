// A chart on a canvas: the core draws it and returns the axes' pixel positions; drawn anew when width, sharpness or look change, and with a mark that
// is moved over it.

import { byId, h, setHidden, setText } from "./dom.js";

/** @import { ChartCall, Chart as Drawn } from "../../types/donorack" */
/** @typedef {Record<string, unknown>} Curves what a chart draws */
/** @typedef {(narrow: boolean) => object} Wording the words on the axes, fewer where it is narrow */

/** @type {Chart[]} */
const charts = [];
const COLOURS = ["sheet", "grid", "ink-2", "line-1", "line-2", "line-3", "tape", "tape-ink"];

/**
 * Colours of the theme and texts of the axes, by the names that the core takes; the font size follows the root element's.
 * @type {(wide: number, wording: Wording) => object}
 */
function look(wide, wording) {
  const style = getComputedStyle(document.documentElement);
  /** @type {(name: string) => string} */
  const read = (name) => style.getPropertyValue(`--${name}`).trim();
  const colours = Object.fromEntries(COLOURS.map((name) => [name.replace("-", "_"), read(name)]));
  const size = Math.min(28, Math.round(0.875 * (parseFloat(style.fontSize) || 16)));
  return {
    ...colours,
    rule: colours.grid || read("rule"),
    heavy: Number(read("heavy")) || 1,
    size,
    family: getComputedStyle(document.body).fontFamily,
    words: wording(wide < 23 * size),
  };
}

/** @type {(element: HTMLElement) => HTMLElement} */
const parentOf = (element) => element.parentElement ?? element;

/** One chart: `id` of its canvas, the call that draws it, its words. */
export class Chart {
  /** @type {Curves | null} */
  data = null;
  /** @type {number[]} */
  ground = [];
  /** @type {number[] | null} */
  at = null;
  near = false;
  waiting = false;

  /**
   * @param {string} id
   * @param {(...given: ChartCall) => Drawn} draw
   * @param {Wording} wording
   * @param {{ steep?: number, legend?: (unnamed: string[], data: Curves) => void }} [more] its height as a share of its width; what names the lines
   *   without a word on the picture
   */
  constructor(id, draw, wording, { steep = 0.62, legend } = {}) {
    this.id = id;
    this.draw = draw;
    this.wording = wording;
    this.steep = steep;
    this.legend = legend;
    charts.push(this);
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
    const high = Math.round(Math.min(360, Math.max(230, wide * this.steep)));
    const { unnamed, ground } = this.draw(canvas, this.data, window.devicePixelRatio || 1, wide, high, look(wide, this.wording));
    this.ground = ground;
    this.legend?.(unnamed, this.data);
    this.put();
  }

  /**
   * Puts the mark at a place of the curve, and shows the figure there.
   * @param {number[] | null} at
   * @param {string} said
   */
  mark(at, said) {
    this.at = at;
    setText(byId(`${this.id}-here`), said);
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

/** Watches for what makes a drawn canvas wrong: another width, sharpness or look, out of sight and back. */
export function watch() {
  for (const chart of charts) chart.watch();
  const again = () => charts.forEach((chart) => chart.later());
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
 * Shows a chart's twin: texts in rows.
 * @type {(id: string, head: string[], rows: string[][]) => void}
 */
export function table(id, head, rows) {
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
