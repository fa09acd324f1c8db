// Where the tape goes on the car. Front views show the left front wheel at the right, as one stands before the car.

import { s } from "../dom.js";
import {
  arm,
  axis,
  rect,
  chalk,
  dash,
  floor,
  ink,
  joint,
  centreLine,
  plumb,
  circle,
  rod,
  soft,
  tape,
  thin,
  tyre,
  view,
  wedge,
  label,
} from "./pen.js";
import { words } from "../../words.js";

/** @import { Answers, Piece, Point, TapeDrawing } from "../../../types/page" */
/** @typedef {{ A: Point, E: Point, parts: (x: number, y: number) => SVGElement[] }} Corner steering axis and rod end, and what is drawn with the rod leading to a point */

const texts = words.tape;

/**
 * The left front corner from above; `e` and `f` as drawn, `rack` how far the rack line is drawn behind the rod ends.
 * @type {(answers: Pick<Answers, "fore" | "inboard">, e?: number, f?: number) => Corner}
 */
export function corner({ fore, inboard }, e = 38, f = 28) {
  /** @type {Point} */
  const A = [104, 70];
  /** @type {Point} */
  const E = [104 + inboard * f, 70 - fore * e];
  return {
    A,
    E,
    parts: (x, y) => [
      centreLine(`M104 ${Math.min(22, E[1] - 10)}V${Math.max(118, E[1] + 10)}`),
      tyre(38, 70, 34, 88),
      ink("M55 70H104"),
      rod(`M${E}L${x} ${y}`),
      arm(`M${A}L${E}`),
      joint(...A),
      joint(...E),
    ],
  };
}

/**
 * The same with the rack's end.
 * @type {(answers: Answers, e: number, rack: number) => { A: Point, E: Point, y: number, parts: Piece[] }}
 */
export function withRack(a, e, rack) {
  const it = corner(a, e);
  const y = it.E[1] + rack;
  return { ...it, y, parts: [it.parts(244, y), ink(`M244 ${y}H338`), rect(320, y, 92, 15, 7, "housing"), joint(244, y)] };
}

// Labels of the two points.
/** @type {(points: { A: Point, E: Point }, fore: number) => SVGElement[]} */
const pointNames = ({ A, E }, fore) => [
  label(A[0] - 8, A[1] + (fore > 0 ? 18 : -9), texts.axisHere, "end"),
  label(E[0], E[1] + (fore > 0 ? -12 : 22), texts.rodEnd),
];

/** @type {TapeDrawing} */
function armForeAft(a) {
  const it = withRack(a, 38, a.rack * -16);
  const { E, parts } = it;
  return [
    parts,
    pointNames(it, a.fore),
    dash(`M112 70H206M${E[0] + 8} ${E[1]}H206`),
    tape(200, 70, 200, E[1]),
    label(214, 70 + (a.fore > 0 ? 16 : -7), texts.along, "start"),
    view("above", a.fore > 0 ? 132 : 13),
  ];
}

/** @type {TapeDrawing} */
function armInboard(a) {
  const it = corner(a, 40, 34);
  const { A, E, parts } = it;
  const y = a.fore > 0 ? 118 : 22;
  return [
    parts(E[0] + 150, E[1]),
    pointNames(it, a.fore),
    dash(`M104 70V${y}M${E[0]} ${E[1]}V${y}`),
    tape(Math.min(A[0], E[0]), y, Math.max(A[0], E[0]), y),
    label(Math.max(A[0], E[0]) + 10, y + 5, texts.across, "start"),
    view("above", a.fore > 0 ? 13 : 132),
  ];
}

/** @type {TapeDrawing} */
function armLength(a) {
  const { A, E, parts } = corner(a, 44, 30);
  return [parts(E[0] + 150, E[1]), tape(...A, ...E, a.fore > 0 ? 16 : -16), view("above", a.fore > 0 ? 132 : 13)];
}

/** @type {TapeDrawing} */
function armAngle(a) {
  const { A, E, parts } = corner(a, 46, 34);
  const up = a.fore > 0;
  const lean = (Math.atan2(E[1] - A[1], E[0] - A[0]) * 180) / Math.PI;
  return [parts(E[0] + 150, E[1]), wedge(...A, 48, up ? -90 : 90, lean), dash(`M104 70V${up ? 8 : 132}`), view("above", up ? 132 : 13)];
}

/** @type {(draw: TapeDrawing) => TapeDrawing} */
const mirrored = (draw) => (a) => {
  const parts = /** @type {SVGElement[]} */ (draw(a).flat(2));
  const texts = parts.filter((part) => part.localName === "text");
  for (const text of texts) {
    if (text.getAttribute("x") === "338") {
      text.setAttribute("x", "2");
      text.setAttribute("text-anchor", "start");
    } else {
      text.setAttribute("x", String(340 - Number(text.getAttribute("x"))));
      const anchor = text.getAttribute("text-anchor");
      text.setAttribute("text-anchor", anchor === "start" ? "end" : anchor === "end" ? "start" : "middle");
    }
  }
  return [{ flip: parts.filter((part) => part.localName !== "text") }, texts];
};

/**
 * A front axle from the front: wheels, uprights, steering axes leaning to the ground at `left` and its mirror.
 * @type {() => Piece[]}
 */
function uprights() {
  /** @type {(x: number) => (v: number) => number} */
  const half = (x) => (v) => 170 + x * v;
  return [-1, 1].map((x) => {
    const at = half(x);
    return [
      tyre(at(118), 70, 34, 84),
      soft(`M${at(81.5)} 46L${at(36)} 52M${at(92.5)} 90H${at(30)}`),
      ink(`M${at(81.5)} 46L${at(92.5)} 90M${at(87)} 68H${at(101)}`),
      axis(`M${at(75)} 20L${at(98)} 112`),
      joint(at(81.5), 46),
      joint(at(92.5), 90),
    ];
  });
}

/** @type {(rear: boolean) => TapeDrawing} */
const track = (rear) => () => [
  [52, 288].map((x) => [tyre(x, 68, 36, 84), centreLine(`M${x} 18V120`)]),
  rear ? [soft("M70 68H270"), circle(170, 68, 20, "soft")] : [soft("M70 60H270M100 60V76H240V60")],
  floor(110),
  tape(52, 124, 288, 124),
  [52, 288].map((x) => chalk(x, 110)),
  view(rear ? "behind" : "front"),
];

// The left front wheel close by, from the front; the car's middle is to the left. The axis meets the floor at `x`.
/** @type {(x: number) => { at: (y: number) => number, parts: SVGElement[] }} */
function wheelFromFront(x) {
  /** @type {(y: number) => number} */
  const at = (y) => 206 + ((x - 206) * (y - 28)) / 84;
  return {
    at,
    parts: [
      label(8, 14, texts.middle, "start"),
      label(8, 31, texts.from.front, "start"),
      tyre(264, 62, 56, 100),
      soft(`M206 28L120 36M${at(88)} 88H110`),
      ink(`M206 28L${at(88)} 88M${at(58)} 58H236`),
      floor(112),
      axis(`M${at(8)} 8L${at(120)} 120`),
      joint(206, 28),
      joint(at(88), 88),
    ],
  };
}

/** @type {TapeDrawing} */
function scrubRadius({ inboard }) {
  const x = inboard > 0 ? 228 : 292;
  return [wheelFromFront(x).parts, centreLine("M264 4V120"), chalk(x, 112), tape(Math.min(x, 264), 126, Math.max(x, 264), 126)];
}

function kingpinInclination() {
  const { at, parts } = wheelFromFront(232);
  const angle = (Math.atan2(84, 232 - 206) * 180) / Math.PI;
  return [
    wedge(206, 28, 76, 90, angle),
    parts,
    plumb(206, 28, 110),
    thin(`M${at(14) - 4} 16L${at(106) - 4} 106`),
    label(196, 80, texts.plumb, "end"),
  ];
}

function rodEndHeight() {
  return [wheelFromFront(232).parts, rod("M150 62L40 66"), arm("M150 62H214"), joint(150, 62), tape(150, 62, 150, 112, 0)];
}

function caster() {
  const angle = (Math.atan2(106, -32) * 180) / Math.PI;
  return [
    circle(166, 74, 44, "tyre"),
    circle(166, 74, 22, "rim"),
    floor(118),
    wedge(184, 22, 76, 90, angle),
    axis("M187 12L150 134"),
    plumb(184, 22, 116),
    joint(184, 22),
    joint(157.5, 110),
    label(216, 62, texts.plumb, "start"),
    label(8, 132, texts.frontHere, "start"),
    view("side", 132),
  ];
}

/**
 * The room for a rack: how far ahead (−1) or back (1) of the tie-rod ends' line its line could be.
 * @type {(to: number) => TapeDrawing}
 */
const rackRoom = (to) => (a) => {
  const { E, parts } = corner(a, 26);
  const y = E[1] + to * 30;
  return [
    parts(236, E[1]),
    dash(`M${E[0] + 8} ${E[1]}H306`),
    rect(310, y, 52, 15, 7, "ghost"),
    tape(270, E[1], 270, y),
    label(258, E[1] - to * 8 + (to < 0 ? 8 : 0), texts.rodEnds, "end"),
    view("above", E[1] < 64 ? 132 : 13),
  ];
};

/** How to find the steering axis at the height of the rod end. */
export function axisAtRodEnd() {
  const { at, parts } = wheelFromFront(232);
  const edge = `M${at(6)} 6L${at(108)} 108`;
  return [
    parts,
    s("path", { d: edge, class: "edge" }),
    s("path", { d: edge, class: "edge in" }),
    axis(edge),
    joint(206, 28),
    joint(at(88), 88),
    rod("M110 62L20 66"),
    arm("M110 62H138"),
    joint(110, 62),
    dash(`M117 62H${at(62)}`),
    joint(at(62), 62, "here"),
    label(150, 54, texts.level),
    label(188, 14, texts.straightedge, "end"),
    plumb(110, 68, 112),
    plumb(at(62), 68, 112),
  ];
}

function axesAtRodEnds() {
  return [
    uprights(),
    floor(112),
    tape(81.5, 74, 258.5, 74),
    [81.5, 258.5].map((x) => joint(x, 74, "here")),
    label(170, 130, texts.rodEndsHigh),
    view("front", 11),
  ];
}

/** @type {TapeDrawing} */
function rodEndSpacing({ fore, inboard }) {
  const y = 70 - fore * 36;
  return [-1, 1]
    .map(
      /** @returns {Piece} */ (x) => {
        /** @type {(v: number) => number} */
        const at = (v) => 170 + x * v;
        const e = at(86 - inboard * 18);
        return [
          tyre(at(132), 70, 30, 80),
          ink(`M${at(117)} 70H${at(86)}`),
          rod(`M${e} ${y}l${-x * 34} ${fore > 0 ? 10 : -10}`),
          arm(`M${at(86)} 70L${e} ${y}`),
          joint(at(86), 70),
          joint(e, y),
        ];
      },
    )
    .concat(tape(84 + inboard * 18, y, 256 - inboard * 18, y, fore > 0 ? -17 : 17), view("above", fore > 0 ? 132 : 11));
}

/**
 * The whole front axle from above, with every tape that is laid on it; 170 high.
 * @type {TapeDrawing}
 */
export function frontAxle(a) {
  const d = -a.fore;
  const [y, e] = [84, 84 + d * 34];
  const r = e - a.rack * 22;
  // The rack line lies further from the axle than the rod ends, or nearer.
  const beyond = (r - e) * d > 0;
  const tops = d > 0 ? 14 : 154;
  const axle = [-1, 1].map((x) => {
    /** @type {(v: number) => number} */
    const at = (v) => 170 + x * v;
    const out = at(84 - a.inboard * 18);
    return [
      tyre(at(138), y, 30, 84),
      ink(`M${at(123)} ${y}H${at(84)}`),
      rod(`M${out} ${e}L${at(34)} ${r}`),
      arm(`M${at(84)} ${y}L${out} ${e}`),
      joint(at(84), y),
      joint(out, e),
      joint(at(34), r),
    ];
  });
  const out = 86 + a.inboard * 18;
  return [
    ink(`M136 ${r}H204`),
    rect(170, r, 44, 14, 7, "housing"),
    axle,
    tape(32, y, 308, y, tops - y),
    tape(out, e, 340 - out, e, d * (beyond ? -20 : 36)),
    tape(136, r, 204, r, d * (beyond ? 21 : -20)),
    tape(66, y, 66, e),
    dash(`M66 ${y}H86M66 ${e}H${out}`),
    tape(Math.min(86, out), e, Math.max(86, out), e, d * 18),
    tape(262, Math.min(e, r), 262, Math.max(e, r)),
    dash(`M${340 - out} ${e}H262M204 ${r}H262`),
    d > 0 && !beyond ? label(170, 44, texts.from.above) : view("above", d > 0 ? 164 : 142),
  ];
}

function wheelbase() {
  /** @type {(x: number) => SVGElement[]} */
  const wheel = (x) => [circle(x, 84, 32, "tyre"), circle(x, 84, 17, "rim")];
  return [
    soft("M22 88V62Q24 50 52 46L104 42 132 14H266Q294 18 304 50L320 58V88"),
    wheel(76),
    wheel(262),
    floor(117),
    tape(76, 84, 262, 84),
    joint(76, 84),
    joint(262, 84),
    label(8, 132, texts.frontHere, "start"),
    view("side", 132),
  ];
}

/** @type {(from: "front" | "behind") => TapeDrawing} */
const tyreWidth = (from) => () => [
  tyreMarking(),
  ink("M129 6V130M211 6V130"),
  ink("M134 124Q128 66 134 30Q136 14 152 12H188Q204 14 206 30Q212 66 206 124Q204 128 198 128H142Q136 128 134 124Z"),
  thin("M158 16V126M170 16V126M182 16V126"),
  tape(130, 72, 210, 72),
  view(from),
];
const tyreMarking = () => [circle(52, 78, 44, "tyre"), circle(52, 78, 22, "rim"), label(52, 52, "165/…"), dash("M74 46L104 34H122")];

// The front of the car; its first corner is the one furthest ahead.
/** @type {(second: boolean, ahead?: boolean) => Piece[]} */
function body(second, ahead) {
  const [x, y] = second ? [34, 58] : [86, 20];
  return [
    soft("M34 134V58L86 20H254L306 58V134"),
    [64, 276].map((c) => tyre(c, 102, 26, 56)),
    dash("M40 102H300"),
    [64, 276].map((c) => joint(c, 102)),
    ahead ? [tape(x, y, x, 102), label(x + 12, second ? 69 : 66, texts.along, "start")] : tape(x, y, 340 - x, y),
    [x, 340 - x].map((c) => joint(c, y, "here")),
    label(170, 132, texts.from.above),
  ];
}

/**
 * A drawing for each measurement of the car: what the answers are goes in, its parts come out.
 * @type {Record<string, TapeDrawing>}
 */
export const car = {
  wheelbase,
  front_track: track(false),
  rear_track: track(true),
  rod_end_spacing: rodEndSpacing,
  axis_spacing_at_ground: () => [uprights(), floor(112), tape(72, 125, 268, 125), [72, 268].map((x) => chalk(x, 112)), view("front", 11)],
  scrub_radius: scrubRadius,
  axis_spacing_at_rod_end: axesAtRodEnds,
  kingpin_inclination: kingpinInclination,
  caster,
  rack_line_from: rackRoom(-1),
  rack_line_to: rackRoom(1),
  rod_end_height: rodEndHeight,
  arm_fore_aft: armForeAft,
  arm_inboard: armInboard,
  arm_length: armLength,
  arm_angle: armAngle,
  right_arm_fore_aft: mirrored(armForeAft),
  right_arm_inboard: mirrored(armInboard),
  tyre_width: tyreWidth("front"),
  rear_tyre_width: tyreWidth("behind"),
  corner_ahead: () => body(false, true),
  corner_width: () => body(false),
  second_corner_ahead: () => body(true, true),
  second_corner_width: () => body(true),
};
