// Toe-out on turns: the canvas that the core draws on, the key to its lines, its sentence and its table.

import { drawToeOut } from "./core.js";
import { h, put, say } from "./dom.js";
import { words } from "./words.js";

const COLOURS = ["sheet", "grid", "ink-2", "line-1", "line-2", "line-3"];
let last = null;
let waiting = false;
let near = true;

/** The look's colours and this page's words, by the names that the core takes. */
function look() {
  const style = getComputedStyle(document.documentElement);
  const colours = Object.fromEntries(COLOURS.map((name) => [name.replace("-", "_"), style.getPropertyValue(`--${name}`).trim()]));
  return { ...colours, rule: colours.grid, heavy: Number(style.getPropertyValue("--heavy")) || 1, size: 14, family: "system-ui, sans-serif", words: words.turning.chart };
}

const part = (id) => document.getElementById(id);

/** Watches for what makes a drawn canvas wrong: another width, another sharpness, out of sight and back. */
export function watch() {
  const canvas = part("toe");
  new ResizeObserver(later).observe(canvas.parentElement);
  document.addEventListener("lookchange", later);
  new IntersectionObserver(([seen]) => {
    near = seen.isIntersecting;
    if (near) later();
  }, { rootMargin: "400px" }).observe(canvas.parentElement);
}

/** Shows the curves of one rack. */
export function paintChart(view, i, text) {
  const { curves } = view.racks[i];
  const any = Boolean(curves && (curves.toe_out_left.length || curves.toe_out_right.length));
  part("toe-none").hidden = any;
  part("toe-some").hidden = !any;
  say(part("toe-summary"), curves ? text(curves.summary) : "");
  last = any ? curves : null;
  if (!any) return;
  put(part("toe"), "aria-label", `${words.turning.toe}. ${text(curves.summary)}`);
  table(curves);
  later();
}

function later() {
  if (waiting) return;
  waiting = true;
  requestAnimationFrame(() => {
    waiting = false;
    if (last && near) draw();
  });
}

function draw() {
  const canvas = part("toe");
  const wide = canvas.parentElement.clientWidth;
  if (!wide) return;
  const high = Math.round(Math.min(360, Math.max(230, wide * 0.62)));
  key(drawToeOut(canvas, last, window.devicePixelRatio || 1, wide, high, look()));
}

// The lines that found no room for their name on the picture.
function key(unnamed) {
  const place = part("toe-key");
  const { chart } = words.turning;
  place.replaceChildren(...unnamed.map((line) => h("li", {}, h("span", { class: `stroke ${line}`, "aria-hidden": "true" }), line === "left" && !last.differ ? chart.rack : chart[line])));
}

function table(curves) {
  const place = part("toe-table");
  // Which turn it is goes without saying where the two are alike.
  const from = curves.differ ? 0 : 1;
  const key = JSON.stringify(curves.table);
  if (place.dataset.key === key) return;
  place.dataset.key = key;
  place.replaceChildren(h("thead", {}, h("tr", {}, words.turning.columns.slice(from).map((name) => h("th", { scope: "col" }, name)))),
    h("tbody", {}, curves.table.map((row) => h("tr", {}, row.slice(from).map((cell) => h("td", {}, cell))))));
}
