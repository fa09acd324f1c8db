// Where the tape goes on a rack: loose in the yard, and as it will be fitted.

import { arrow, box, dash, floor, ghost, ink, joint, middle, ring, rod, spiral, tape, thin, turn, view, way, wedge, word } from "./pen.js";
import { fitted } from "./car.js";
import { words } from "../../words.js";

/** @import { Piece, TapeDrawing } from "../../../types/page" */

const say = words.tape;

/**
 * A loose rack: its bar shifted by `by` from the middle, its shaft's end seen above.
 * @type {(y: number, by?: number, shaft?: boolean) => Piece[]}
 */
function loose(y, by = 0, shaft = true) {
  const [l, r] = [58 + by, 262 + by];
  return [
    rod(`M${l} ${y}L${l - 34} ${y + 4}M${r} ${y}L${r + 34} ${y + 4}`),
    ink(`M${l} ${y}H${r}`),
    box(158, y, 132, 18, 8, "housing"),
    shaft ? [box(196, y - 12, 18, 14, 3, "housing"), ink(`M196 ${y - 18}V${y - 28}`)] : null,
    joint(l, y),
    joint(r, y),
  ];
}
/** @type {(x: number, y: number) => SVGElement} */
const was = (x, y) => joint(x, y, "ghost");
/** @type {(x: number, y: number, r?: number) => SVGElement[]} */
const shaftEnd = (x, y, r = 13) => [ring(x, y, r, "rim"), ink(`M${x} ${y}V${y - r}`)];

/** @type {(turns: number, by: number, label: string) => TapeDrawing} */
const turned = (turns, by, label) => () => [
  loose(86, by),
  was(228, 86),
  shaftEnd(196, 38),
  spiral(196, 38, turns),
  word(236, 42, label, "start"),
  tape(228, 86, 262 + by, 86, 34),
];

function travel() {
  return [loose(70, 34), was(228, 70), arrow(228, 46, 292, 46), word(260, 36, say.hardOver), tape(228, 70, 296, 70, 36)];
}

function turns() {
  return [
    loose(98, 0),
    shaftEnd(196, 48),
    ring(196, 48, 13, "band"),
    ink("M196 48V35"),
    spiral(196, 48, 3, "count"),
    arrow(100, 124, 30, 124),
    arrow(220, 124, 290, 124),
    word(160, 129, say.endToEnd),
    word(246, 42, say.counted, "start"),
  ];
}

function inner() {
  return [loose(92, 0), tape(58, 92, 262, 92, -50), word(160, 24, say.ballToBall)];
}

/** @type {TapeDrawing} */
function moves({ bar }) {
  const ways = bar
    ? way(170 + bar * 106, 18, bar)
    : [1, -1].map((to) => [
        ghost(`M${170 + to * 106} 13h${to * 30}v-7l${to * 18} 12l${-to * 18} 12v-7h${-to * 30}z`),
        word(170 + to * 90, 23, "?"),
      ]);
  return [
    rod("M52 44L14 48M288 44L326 48"),
    ink("M52 44H288"),
    box(170, 44, 150, 18, 8, "housing"),
    ink("M142 44V92"),
    joint(52, 44),
    joint(288, 44),
    ways,
    ring(142, 108, 20, "rim"),
    ink("M142 108V90M126 116L158 116"),
    turn(142, 108, 27, -10, -150, "meant"),
    word(182, 112, say.shaftLeft, "start"),
    view("above", 132),
  ];
}

/** @type {TapeDrawing} */
function line(a) {
  const { E, y, parts } = fitted(a, 26, a.rack * -32);
  return [
    parts,
    dash(`M${E[0] + 8} ${E[1]}H306`),
    middle(`M190 ${y}H338`),
    tape(290, E[1], 290, y),
    word(276, E[1] + (a.rack > 0 ? 16 : -8), say.rodEnds, "end"),
    view("above", E[1] < 64 ? 132 : 13),
  ];
}

/** @type {TapeDrawing} */
function offset({ off }) {
  const m = 170 - off * 42;
  return [
    middle("M170 6V130"),
    ink(`M${m - 100} 56H${m + 100}`),
    box(m, 56, 120, 16, 8, "housing"),
    joint(m - 100, 56),
    joint(m + 100, 56),
    thin(`M${m - 100} 40v-12M${m + 100} 40v-12M${m} 40v-12M${m - 100} 34H${m + 100}`),
    word(m - 52, 26, say.equal),
    word(m + 52, 26, say.equal),
    tape(Math.min(m, 170), 56, Math.max(m, 170), 56, 42),
    word(170 + off * 10, 124, say.carMiddle, off > 0 ? "start" : "end"),
    view("above", 11),
  ];
}

/** @type {TapeDrawing} */
function height({ high }) {
  const y = 68 - high * 34;
  return [
    floor(130),
    box(28, 76, 34, 104, 8),
    ink("M46 68H76"),
    rod(`M76 68L226 ${y}`),
    ink(`M226 ${y}H338`),
    box(320, y, 116, 18, 8, "housing"),
    dash("M84 68H262"),
    joint(76, 68),
    joint(226, y),
    tape(226, 68, 226, y, high * 22),
    word(90, high > 0 ? 88 : 58, say.level, "start"),
    view("front", high > 0 ? 122 : 13),
  ];
}

/** @type {(to: number) => Piece[]} */
function stop(to) {
  /** @type {(v: number) => number} */
  const at = (v) => 170 + to * v;
  return [
    ink(`M${at(-92)} 64H${at(140)}`),
    box(170, 64, 120, 18, 8, "housing"),
    joint(at(-92), 64),
    was(at(92), 64),
    joint(at(140), 64),
    box(at(154), 64, 14, 46, 2, "block"),
    arrow(at(92), 38, at(136), 38),
    word(at(92), 26, say.midTravel),
    tape(Math.min(at(92), at(140)), 64, Math.max(at(92), at(140)), 64, 36),
    view("above", 132),
  ];
}

/**
 * A rod: `out` how far its end is screwed off; the other end of the range as a ghost.
 * @type {(out: number, other: number | null) => Piece[]}
 */
function rodOf(out, other) {
  /** @type {(x: number, kind: string) => SVGElement[]} */
  const eye = (x, kind) => [box(x - 24, 56, 46, 18, 5, kind), ring(x + 8, 56, 14, kind)];
  return [
    ink("M8 56H56"),
    box(12, 56, 40, 20, 8, "housing"),
    rod("M56 56H196"),
    thin("M196 52H236V60H196M202 51v10m6-10v10m6-10v10m6-10v10m6-10v10"),
    other === null ? null : eye(other, "ghost"),
    eye(out, "steel"),
    joint(56, 56),
    joint(out + 8, 56),
    tape(56, 56, out + 8, 56, 48),
  ];
}

function innerLimit() {
  return [
    wedge(110, 100, 100, -34, 0),
    ink("M8 100H110"),
    box(44, 100, 80, 20, 8, "housing"),
    dash("M110 100H270"),
    rod("M110 100L240 12"),
    ghost("M110 100L164 134"),
    ring(110, 100, 13, "rim"),
    joint(110, 100),
    turn(110, 100, 124, -3, -30),
    say.largest.map((part, i) => word(244, 62 + 16 * i, part, "start")),
  ];
}

function outerLimit() {
  return [
    wedge(110, 84, 100, -26, 0),
    dash("M110 84H270"),
    rod("M110 84L252 15"),
    ghost("M110 84L200 128"),
    ink("M110 34V134M98 120H122M102 34H118"),
    ring(110, 84, 15, "rim"),
    joint(110, 84),
    turn(110, 84, 124, -3, -23),
    word(98, 48, say.stud, "end"),
    say.largest.map((part, i) => word(244, 54 + 16 * i, part, "start")),
  ];
}

/** How to find the middle of a loose rack. */
export function centre() {
  return [
    loose(70, 0),
    shaftEnd(196, 28, 11),
    was(228, 70),
    was(296, 70),
    joint(262, 70, "here"),
    thin("M228 84V126M296 84V126M262 84V126"),
    arrow(228, 98, 292, 98),
    arrow(296, 118, 266, 118),
    word(222, 102, say.countTurns, "end"),
    word(222, 122, say.backHalf, "end"),
  ];
}

/**
 * A drawing for each measurement of a rack.
 * @type {Record<string, TapeDrawing>}
 */
export const rack = {
  travel_per_turn: turned(1, 6, say.oneTurn),
  travel_two_turns: turned(2, 30, say.twoTurns),
  travel,
  turns,
  inner_joint_spacing: inner,
  bar_moves: moves,
  rack_line: line,
  offset,
  height,
  stop_left: () => stop(-1),
  stop_right: () => stop(1),
  rod_length: () => rodOf(262, null),
  rod_length_min: () => rodOf(242, 286),
  rod_length_max: () => rodOf(286, 242),
  inner_joint_limit: innerLimit,
  outer_joint_limit: outerLimit,
};
