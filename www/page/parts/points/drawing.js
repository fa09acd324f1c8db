// The left front corner from ahead and above, not to scale: every joint with its letter, where the tape goes lit.

import { chalk, dash, label, tape, thin } from "../../widgets/tape/pen.js";
import { inFrame } from "../../widgets/tape/panel.js";
import { s } from "../../widgets/dom.js";
import { words } from "../../words.js";

/** @import { Point } from "../../../types/page" */
/** @typedef {[along: number, across: number, up: number]} Place of a joint: ahead, outboard, up, mm */

// Of no particular car.
/** @type {Record<string, Place>} */
const PLACES = {
  lower_ball: [90, 640, 150],
  upper_ball: [-70, 570, 470],
  strut_top: [-60, 500, 570],
  damper: [20, 585, 340],
  tie_rod_end: [-270, 530, 300],
  wheel_centre: [0, 750, 290],
  lower_front: [190, 270, 190],
  lower_rear: [-190, 270, 180],
  upper_front: [130, 390, 500],
  upper_rear: [-130, 390, 490],
};
const LINKS = [
  ["lower_front", "lower_ball"],
  ["lower_rear", "lower_ball"],
  ["upper_front", "upper_ball"],
  ["upper_rear", "upper_ball"],
  ["lower_ball", "upper_ball"],
  ["damper", "strut_top"],
  ["lower_ball", "damper"],
  ["tie_rod_end", "lower_ball"],
];

/** @type {(at: Place) => Point} */
const project = ([x, y, z]) => [Math.round(52 + 0.34 * y - 0.2 * x), Math.round(172 - 0.235 * z + 0.1 * x)];

/**
 * The corner; `names` are its joints in the order of their letters, `known` tells which are measured, `at` the joint and the axis (0 along, 1 across,
 * 2 up) that the tape goes to.
 * @type {(names: string[], known: (name: string) => boolean, at: { name: string, axis: number, label: string, right: boolean }) => SVGSVGElement}
 */
export function cornerDrawing(names, known, { name, axis, label: what, right }) {
  const flip = (/** @type {Point} */ [x, y]) => /** @type {Point} */ ([right ? 340 - x : x, y]);
  const point = (/** @type {Place} */ at) => flip(project(at));
  const line = (/** @type {Place} */ a, /** @type {Place} */ b) => `M${point(a)}L${point(b)}`;
  /** @type {(of: string) => Place} */
  const floor = (of) => [PLACES[of][0], PLACES[of][1], 0];
  const links = LINKS.filter((pair) => pair.every((one) => names.includes(one)));
  const [x, y] = PLACES[name];
  const [wx, wy] = point(PLACES.wheel_centre);
  /** @type {Place[]} */
  const ends = [
    [0, y, 0],
    [x, 0, 0],
    [x, y, PLACES[name][2]],
  ];
  const [from, to] = [point(floor(name)), point(ends[axis])];
  const done = names.filter((one) => one !== name && known(one));
  const left = right ? "end" : "start";
  return inFrame(
    words.points.drawing(what, words.points.axes[axis]),
    [
      s("ellipse", { cx: wx + (right ? -6 : 6), cy: wy, rx: 26, ry: 74, class: "soft" }),
      s("path", { d: line([0, -30, 0], [0, 800, 0]), class: "sight" }),
      s("path", { d: line([330, 0, 0], [-330, 0, 0]), class: "sight" }),
      label(...flip([338, 196]), words.points.lines.across, right ? "start" : "end"),
      label(...flip([4, 152]), words.points.lines.along, left),
      links.map(([a, b]) => s("path", { d: line(PLACES[a], PLACES[b]), class: known(a) && known(b) ? "ink" : "ghost" })),
      done.map((one) => chalk(...point(floor(one)))),
      thin(line(PLACES[name], floor(name))),
      axis < 2 ? chalk(...from) : dash(""),
      tape(...from, ...to),
      names.map((one) => {
        const [cx, cy] = point(PLACES[one]);
        const kind = one === name ? "here" : known(one) ? "block" : "ghost";
        return [
          s("circle", { cx, cy, r: one === name ? 7 : 5, class: `${kind} ball` }),
          label(cx + (right ? -8 : 8), cy - 8, words.points.letters[names.indexOf(one)], left, one === name ? "strong" : undefined),
        ];
      }),
    ],
    204,
  );
}
