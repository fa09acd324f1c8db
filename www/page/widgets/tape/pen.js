// The elements that every drawing is made of. Colours and line widths are classes in tape.css; a drawing is 340 by 136 units.

import { s } from "../dom.js";
import { words } from "../../words.js";

/** @import { Point } from "../../../types/page" */

/** @type {(kind: string) => (d: string) => SVGPathElement} */
const stroke = (kind) => (d) => s("path", { d, class: kind });
/** Steel: the lines of the car and the rack. */
export const ink = stroke("ink");
/** What is there but not meant: bodies, beams. */
export const soft = stroke("soft");
/** Where something was before. */
export const ghost = stroke("ghost");
/** A line sighted along or carried over. */
export const dash = stroke("dim dash");
/** A centre line. */
export const centreLine = stroke("centre");
/** A steering axis. */
export const axis = stroke("sight");
/** A thin line. */
export const thin = stroke("dim");
/** A steering arm. */
export const arm = stroke("arm");
/** A tie rod: brass. */
export const rod = stroke("rod");

/**
 * A ball joint's centre.
 * @type {(cx: number, cy: number, kind?: string) => SVGElement}
 */
export const joint = (cx, cy, kind = "joint") => s("circle", { cx, cy, r: 5.5, class: kind });
/**
 * A rectangle around a point: a tyre from above or from the front, a housing, a block.
 * @type {(x: number, y: number, w: number, h: number, rx: number, kind?: string) => SVGElement}
 */
export const rect = (x, y, w, h, rx, kind = "tyre") => s("rect", { x: x - w / 2, y: y - h / 2, width: w, height: h, rx, class: kind });
/**
 * A tyre.
 * @type {(x: number, y: number, w: number, h: number, kind?: string) => SVGElement}
 */
export const tyre = (x, y, w, h, kind) => rect(x, y, w, h, 8, kind);
/**
 * A circle.
 * @type {(cx: number, cy: number, r: number, kind: string) => SVGElement}
 */
export const circle = (cx, cy, r, kind) => s("circle", { cx, cy, r, class: kind });
/**
 * A text.
 * @type {(x: number, y: number, text: string, anchor?: "start" | "middle" | "end", kind?: string) => SVGElement}
 */
export const label = (x, y, text, anchor = "middle", kind) => s("text", { x, y, "text-anchor": anchor, class: kind }, text);
/**
 * The direction of view, as text.
 * @type {(from: keyof typeof words.tape.from, y?: number) => SVGElement}
 */
export const view = (from, y = 13) => label(338, y, words.tape.from[from], "end");
/**
 * The floor.
 * @type {(y: number, from?: number, to?: number) => SVGElement}
 */
export const floor = (y, from = 8, to = 332) => thin(`M${from} ${y}H${to}`);
/**
 * A chalk mark on the floor.
 * @type {(x: number, y: number) => SVGElement}
 */
export const chalk = (x, y) => s("path", { d: `M${x - 5} ${y - 5}l10 10m0-10-10 10`, class: "chalk" });
/**
 * A plumb line with its bob's tip at `to`.
 * @type {(x: number, from: number, to: number) => SVGElement[]}
 */
export const plumb = (x, from, to) => [
  thin(`M${x} ${from}V${to - 14}`),
  s("path", { d: `M${x - 4} ${to - 14}h8v5l-4 9-4-9z`, class: "bob" }),
];

/**
 * An arrow along a straight line.
 * @type {(x1: number, y1: number, x2: number, y2: number, kind?: string) => SVGElement}
 */
export function arrow(x1, y1, x2, y2, kind = "go") {
  const a = Math.atan2(y2 - y1, x2 - x1);
  return s("path", { d: `M${x1} ${y1}L${x2} ${y2}${arrowHead(x2, y2, a)}`, class: kind });
}

/**
 * An arrow along an arc, in degrees, clockwise on the screen when `to` is larger.
 * @type {(cx: number, cy: number, r: number, from: number, to: number, kind?: string) => SVGElement}
 */
export function arcArrow(cx, cy, r, from, to, kind = "go") {
  const [x1, y1] = pointOn(cx, cy, r, from);
  const [x2, y2] = pointOn(cx, cy, r, to);
  const way = to > from ? 1 : 0;
  return s("path", {
    d: `M${x1} ${y1}A${r} ${r} 0 ${Math.abs(to - from) > 180 ? 1 : 0} ${way} ${x2} ${y2}${arrowHead(x2, y2, ((to + (way ? 80 : -80)) * Math.PI) / 180)}`,
    class: kind,
  });
}

/**
 * A spiral of so many turns, from the top to the left, widening.
 * @type {(cx: number, cy: number, turns: number, kind?: string) => SVGElement}
 */
export function spiral(cx, cy, turns, kind = "go") {
  /** @type {Point[]} */
  const points = [];
  let a = -90;
  for (; a >= -90 - turns * 360; a -= 20) points.push(pointOn(cx, cy, 19 - (a + 90) / 50, a));
  const [x, y] = points.at(-1) ?? [cx, cy];
  return s("path", { d: `M${points.join("L")}${arrowHead(x, y, ((a - 70) * Math.PI) / 180)}`, class: kind });
}

/** @type {(cx: number, cy: number, r: number, a: number) => Point} */
const pointOn = (cx, cy, r, a) => [round(cx + r * Math.cos((a * Math.PI) / 180)), round(cy + r * Math.sin((a * Math.PI) / 180))];
/** @type {(v: number) => number} */
const round = (v) => Math.round(v * 10) / 10;
/** @type {(x: number, y: number, a: number) => string} */
const arrowHead = (x, y, a) => [2.6, -2.6].map((b) => `M${x} ${y}l${round(8 * Math.cos(a + b))} ${round(8 * Math.sin(a + b))}`).join("");

/**
 * The tape from point to point, offset by `off`, with extension lines.
 * @type {(x1: number, y1: number, x2: number, y2: number, off?: number) => SVGElement}
 */
export function tape(x1, y1, x2, y2, off = 0) {
  const long = Math.hypot(x2 - x1, y2 - y1);
  let ticks = "";
  for (let at = 6, n = 1; at < long - 2; at += 6, n += 1) ticks += `M${at} ${off - 6}v${n % 4 ? 4 : 8}`;
  return s(
    "g",
    { class: "tape", transform: `translate(${x1} ${y1}) rotate(${round((Math.atan2(y2 - y1, x2 - x1) * 180) / Math.PI)})` },
    off ? dash(`M0 0V${off}M${long} 0V${off}`) : null,
    s("rect", { x: 0, y: off - 6, width: long, height: 12, class: "band" }),
    s("path", { d: ticks, class: "ticks" }),
    s("path", { d: `M0 ${off - 9}v18M${long} ${off - 9}v18`, class: "ends" }),
  );
}

/**
 * An angle between two directions, degrees clockwise from the right.
 * @type {(cx: number, cy: number, r: number, from: number, to: number) => SVGElement}
 */
export function wedge(cx, cy, r, from, to) {
  const [x1, y1] = pointOn(cx, cy, r, from);
  const [x2, y2] = pointOn(cx, cy, r, to);
  return s(
    "g",
    { class: "tape" },
    s("path", { d: `M${cx} ${cy}L${x1} ${y1}A${r} ${r} 0 0 ${to > from ? 1 : 0} ${x2} ${y2}Z`, class: "band" }),
  );
}

/**
 * A broad arrow in the tape's colour: the direction that is asked for.
 * @type {(x: number, y: number, to: number) => SVGElement}
 */
export function broadArrow(x, y, to) {
  return s(
    "g",
    { class: "tape" },
    s("path", { d: `M${x} ${y - 5}h${to * 30}v-7l${to * 18} 12l${-to * 18} 12v-7h${-to * 30}z`, class: "band" }),
  );
}
