// Where the tape goes on a rack: loose in the yard, and as it will be fitted.

import {
  arrow,
  rect,
  dash,
  floor,
  ghost,
  ink,
  joint,
  centreLine,
  circle,
  rod,
  spiral,
  tape,
  thin,
  arcArrow,
  view,
  broadArrow,
  wedge,
  label,
} from "./pen.js";
import { withRack } from "./car.js";
import { words } from "../../words.js";

/** @import { Piece, TapeDrawing } from "../../../types/page" */

const texts = words.tape;

/**
 * A loose rack: its bar shifted by `by` from the middle, its shaft's end seen above.
 * @type {(y: number, by?: number, shaft?: boolean) => Piece[]}
 */
function looseRack(y, by = 0, shaft = true) {
  const [l, r] = [58 + by, 262 + by];
  return [
    rod(`M${l} ${y}L${l - 34} ${y + 4}M${r} ${y}L${r + 34} ${y + 4}`),
    ink(`M${l} ${y}H${r}`),
    rect(158, y, 132, 18, 8, "housing"),
    shaft ? [rect(196, y - 12, 18, 14, 3, "housing"), ink(`M196 ${y - 18}V${y - 28}`)] : null,
    joint(l, y),
    joint(r, y),
  ];
}
/** @type {(x: number, y: number) => SVGElement} */
const ghostJoint = (x, y) => joint(x, y, "ghost");
/** @type {(x: number, y: number, r?: number) => SVGElement[]} */
const shaftEnd = (x, y, r = 13) => [circle(x, y, r, "rim"), ink(`M${x} ${y}V${y - r}`)];

/** @type {(turns: number, by: number, name: string) => TapeDrawing} */
const travelOver = (turns, by, name) => () => [
  looseRack(86, by),
  ghostJoint(228, 86),
  shaftEnd(196, 38),
  spiral(196, 38, turns),
  label(236, 42, name, "start"),
  tape(228, 86, 262 + by, 86, 34),
];

function travel() {
  return [looseRack(70, 34), ghostJoint(228, 70), arrow(228, 46, 292, 46), label(260, 36, texts.hardOver), tape(228, 70, 296, 70, 36)];
}

function turns() {
  return [
    looseRack(98, 0),
    shaftEnd(196, 48),
    circle(196, 48, 13, "band"),
    ink("M196 48V35"),
    spiral(196, 48, 3, "count"),
    arrow(100, 124, 30, 124),
    arrow(220, 124, 290, 124),
    label(160, 129, texts.endToEnd),
    label(246, 42, texts.counted, "start"),
  ];
}

function innerJointSpacing() {
  return [looseRack(92, 0), tape(58, 92, 262, 92, -50), label(160, 24, texts.ballToBall)];
}

/** @type {TapeDrawing} */
function barMoves({ bar }) {
  const ways = bar
    ? broadArrow(170 + bar * 106, 18, bar)
    : [1, -1].map((to) => [
        ghost(`M${170 + to * 106} 13h${to * 30}v-7l${to * 18} 12l${-to * 18} 12v-7h${-to * 30}z`),
        label(170 + to * 90, 23, "?"),
      ]);
  return [
    rod("M52 44L14 48M288 44L326 48"),
    ink("M52 44H288"),
    rect(170, 44, 150, 18, 8, "housing"),
    ink("M142 44V92"),
    joint(52, 44),
    joint(288, 44),
    ways,
    circle(142, 108, 20, "rim"),
    ink("M142 108V90M126 116L158 116"),
    arcArrow(142, 108, 27, -10, -150, "meant"),
    label(182, 112, texts.shaftLeft, "start"),
    view("above", 132),
  ];
}

/** @type {TapeDrawing} */
function rackLine(a) {
  const { E, y, parts } = withRack(a, 26, a.rack * -32);
  return [
    parts,
    dash(`M${E[0] + 8} ${E[1]}H306`),
    centreLine(`M190 ${y}H338`),
    tape(290, E[1], 290, y),
    label(276, E[1] + (a.rack > 0 ? 16 : -8), texts.rodEnds, "end"),
    view("above", E[1] < 64 ? 132 : 13),
  ];
}

/** @type {TapeDrawing} */
function offset({ off }) {
  const m = 170 - off * 42;
  return [
    centreLine("M170 6V130"),
    ink(`M${m - 100} 56H${m + 100}`),
    rect(m, 56, 120, 16, 8, "housing"),
    joint(m - 100, 56),
    joint(m + 100, 56),
    thin(`M${m - 100} 40v-12M${m + 100} 40v-12M${m} 40v-12M${m - 100} 34H${m + 100}`),
    label(m - 52, 26, texts.equal),
    label(m + 52, 26, texts.equal),
    tape(Math.min(m, 170), 56, Math.max(m, 170), 56, 42),
    label(170 + off * 10, 124, texts.carMiddle, off > 0 ? "start" : "end"),
    view("above", 11),
  ];
}

/** @type {TapeDrawing} */
function height({ high }) {
  const y = 68 - high * 34;
  return [
    floor(130),
    rect(28, 76, 34, 104, 8),
    ink("M46 68H76"),
    rod(`M76 68L226 ${y}`),
    ink(`M226 ${y}H338`),
    rect(320, y, 116, 18, 8, "housing"),
    dash("M84 68H262"),
    joint(76, 68),
    joint(226, y),
    tape(226, 68, 226, y, high * 22),
    label(90, high > 0 ? 88 : 58, texts.level, "start"),
    view("front", high > 0 ? 122 : 13),
  ];
}

/** @type {(to: number) => Piece[]} */
function stop(to) {
  /** @type {(v: number) => number} */
  const at = (v) => 170 + to * v;
  return [
    ink(`M${at(-92)} 64H${at(140)}`),
    rect(170, 64, 120, 18, 8, "housing"),
    joint(at(-92), 64),
    ghostJoint(at(92), 64),
    joint(at(140), 64),
    rect(at(154), 64, 14, 46, 2, "block"),
    arrow(at(92), 38, at(136), 38),
    label(at(92), 26, texts.midTravel),
    tape(Math.min(at(92), at(140)), 64, Math.max(at(92), at(140)), 64, 36),
    view("above", 132),
  ];
}

/**
 * A rod: `out` how far its end is screwed off; the other end of the range as a ghost.
 * @type {(out: number, other: number | null) => Piece[]}
 */
function rodLength(out, other) {
  /** @type {(x: number, kind: string) => SVGElement[]} */
  const eye = (x, kind) => [rect(x - 24, 56, 46, 18, 5, kind), circle(x + 8, 56, 14, kind)];
  return [
    ink("M8 56H56"),
    rect(12, 56, 40, 20, 8, "housing"),
    rod("M56 56H196"),
    thin("M196 52H236V60H196M202 51v10m6-10v10m6-10v10m6-10v10m6-10v10"),
    other === null ? null : eye(other, "ghost"),
    eye(out, "steel"),
    joint(56, 56),
    joint(out + 8, 56),
    tape(56, 56, out + 8, 56, 48),
  ];
}

function innerJointLimit() {
  return [
    wedge(110, 100, 100, -34, 0),
    ink("M8 100H110"),
    rect(44, 100, 80, 20, 8, "housing"),
    dash("M110 100H270"),
    rod("M110 100L240 12"),
    ghost("M110 100L164 134"),
    circle(110, 100, 13, "rim"),
    joint(110, 100),
    arcArrow(110, 100, 124, -3, -30),
    texts.largest.map((part, i) => label(244, 62 + 16 * i, part, "start")),
  ];
}

function outerJointLimit() {
  return [
    wedge(110, 84, 100, -26, 0),
    dash("M110 84H270"),
    rod("M110 84L252 15"),
    ghost("M110 84L200 128"),
    ink("M110 34V134M98 120H122M102 34H118"),
    circle(110, 84, 15, "rim"),
    joint(110, 84),
    arcArrow(110, 84, 124, -3, -23),
    label(98, 48, texts.stud, "end"),
    texts.largest.map((part, i) => label(244, 54 + 16 * i, part, "start")),
  ];
}

/** How to find the middle of a loose rack. */
export function rackCentre() {
  return [
    looseRack(70, 0),
    shaftEnd(196, 28, 11),
    ghostJoint(228, 70),
    ghostJoint(296, 70),
    joint(262, 70, "here"),
    thin("M228 84V126M296 84V126M262 84V126"),
    arrow(228, 98, 292, 98),
    arrow(296, 118, 266, 118),
    label(222, 102, texts.countTurns, "end"),
    label(222, 122, texts.backHalf, "end"),
  ];
}

/**
 * A drawing for each measurement of a rack.
 * @type {Record<string, TapeDrawing>}
 */
export const rack = {
  travel_per_turn: travelOver(1, 6, texts.oneTurn),
  travel_two_turns: travelOver(2, 30, texts.twoTurns),
  travel,
  turns,
  inner_joint_spacing: innerJointSpacing,
  bar_moves: barMoves,
  rack_line: rackLine,
  offset,
  height,
  stop_left: () => stop(-1),
  stop_right: () => stop(1),
  rod_length: () => rodLength(262, null),
  rod_length_min: () => rodLength(242, 286),
  rod_length_max: () => rodLength(286, 242),
  inner_joint_limit: innerJointLimit,
  outer_joint_limit: outerJointLimit,
};
