// The axle from above, to scale. Its parts are made once; every position comes from the core and only moves them.
//
// The car's X points forward and is drawn upwards; its Y points left and is drawn to the left.

import { put, s, say } from "../../widgets/dom.js";
import { words } from "../../words.js";

/** @import { AxleDrawing, TurnView, WheelDrawing } from "../../../types/core" */
/** @import { Point } from "../../../types/page" */
/** @typedef {{ scale: number, point: (at: Point) => Point }} Sheet a picture of a scale: where a point of the car lies on it */

// Tyres are not measured for this, nor is the body; their drawn size is the one made-up thing here.
export const TYRE = { length: 620, width: 165 };
export const WIDE = 390;
const FOOT = 104;
const HEAD = 34;

/**
 * A number for an attribute: hundredths of a unit are finer than any screen.
 * @type {(v: number) => string}
 */
export const r = (v) => String(Math.round(v * 100) / 100);

/**
 * Setting an attribute only when it changes.
 * @type {(node: Element, attributes: Record<string, string>) => void}
 */
export const set = (node, attributes) => {
  for (const name in attributes) put(node, name, attributes[name]);
};

/**
 * Where a point of the car lies on a picture of this scale, with the car's origin at `origin`.
 * @type {(scale: number, origin: Point) => Sheet}
 */
export const sheet = (scale, origin) => ({ scale, point: ([x, y]) => [origin[0] - y * scale, origin[1] - x * scale] });

/**
 * Puts a line between two points of the car.
 * @type {(node: Element, d: Sheet, a: Point, b: Point) => void}
 */
export function line(node, d, a, b) {
  const [x1, y1] = d.point(a);
  const [x2, y2] = d.point(b);
  set(node, { x1: r(x1), y1: r(y1), x2: r(x2), y2: r(y2) });
}

/**
 * Puts a circle's middle at a point of the car.
 * @type {(node: Element, d: Sheet, at: Point) => void}
 */
export function dot(node, d, at) {
  const [cx, cy] = d.point(at);
  set(node, { cx: r(cx), cy: r(cy) });
}

/**
 * Puts a tyre at a point of the car, turned by so many degrees to the left.
 * @type {(node: Element, d: Sheet, at: Point, wide: number, turn: number) => void}
 */
export function tyre(node, d, at, wide, turn) {
  const [x, y] = d.point(at);
  const [w, l] = [wide * d.scale, TYRE.length * d.scale];
  set(node, {
    x: r(x - w / 2),
    y: r(y - l / 2),
    width: r(w),
    height: r(l),
    rx: r(w * 0.22),
    transform: `rotate(${r(-turn)} ${r(x)} ${r(y)})`,
  });
}

/**
 * A point on a wheel's own axis, so many mm from the wheel towards the left (or, below nought, the right).
 * @type {(wheel: WheelDrawing, far: number) => Point}
 */
export function along(wheel, far) {
  const turn = (wheel.steer * Math.PI) / 180;
  return [wheel.contact[0] - Math.sin(turn) * far, wheel.contact[1] + Math.cos(turn) * far];
}

/**
 * An element of a drawing: its tag, its class, further attributes.
 * @template {keyof SVGElementTagNameMap} T
 * @param {T} tag
 * @param {string} kind
 * @param {Record<string, string | number>} [more]
 */
export const make = (tag, kind, more = {}) => s(tag, { class: kind, ...more });

/**
 * One for each side.
 * @template T
 * @param {() => T} make
 * @returns {[T, T]}
 */
export const two = (make) => [make(), make()];

/** The drawing: `fit` it to the positions it has to hold, then `move` it. */
export function axleDrawing() {
  const p = {
    body: make("path", "body"),
    front: make("path", "pointer"),
    frontWord: s("text", { "text-anchor": "start" }, words.turning.front),
    beam: make("line", "beam"),
    tyres: two(() => make("rect", "tyre")),
    rays: two(() => make("line", "ray")),
    stubs: two(() => make("line", "stub")),
    housing: make("line", "housing"),
    bar: make("line", "bar"),
    pinion: make("circle", "pinion", { r: 10 }),
    tooth: make("line", "tooth"),
    arms: two(() => make("line", "arm")),
    rods: two(() => make("line", "rod")),
    beyond: make("line", "dim dash"),
    wedge: make("path", "wedge"),
    joints: Array.from({ length: 6 }, (_, n) => make("circle", "joint", { r: n % 3 === 2 ? 4.5 : 5 })),
    tight: s("text", { class: "strong tight", "text-anchor": "middle" }),
    goes: make("path", "goes"),
    goesWord: s("text", { "text-anchor": "middle" }),
    wanted: make("path", "goes wanted"),
    wantedWord: s("text", { "text-anchor": "middle" }),
    angles: two(() => s("text", { class: "angle", "text-anchor": "middle" })),
    roles: two(() => s("text", { "text-anchor": "middle" })),
    turnWord: s("text", { "text-anchor": "middle", class: "strong" }),
    sweep: make("path", "goes"),
  };
  // The steering wheel: a rim, three spokes, and the mark that stands at the top when the car goes straight on.
  const wheel = s(
    "g",
    {},
    make("circle", "rim", { r: 27 }),
    make("path", "spokes", { d: "M0 5V25M-5 -2L-25 -7M5 -2L25 -7" }),
    make("circle", "hub", { r: 6 }),
    make("path", "topmark", { d: "M-5 -27a27 27 0 0 1 10 0" }),
  );
  const steering = s("g", {}, wheel, p.sweep);
  const root = s(
    "svg",
    { role: "img", class: "plan" },
    p.body,
    p.front,
    p.frontWord,
    p.beam,
    p.tyres,
    p.rays,
    p.stubs,
    p.housing,
    p.bar,
    p.pinion,
    p.tooth,
    p.wedge,
    p.beyond,
    p.arms,
    p.rods,
    p.joints,
    p.goes,
    p.wanted,
    p.goesWord,
    p.wantedWord,
    p.tight,
    steering,
    p.turnWord,
    p.angles,
    p.roles,
  );
  let d = sheet(1, [0, 0]);
  let high = 0;

  /**
   * Chooses the scale for positions from end to end, and puts what does not move; `more` is room for a second arrow.
   * @type {(positions: AxleDrawing[], more: number) => void}
   */
  function fit(positions, more) {
    const wheels = positions.flatMap((seen) => seen.wheels);
    const half = Math.max(...wheels.map((w) => Math.abs(w.contact[1]))) + 330;
    const scale = WIDE / 2 / half;
    const xs = wheels.flatMap((w) => [w.axis[0], w.rod_end[0], w.inner[0]]);
    const top = Math.max(380, ...xs.map((x) => x + 60)) * scale + HEAD;
    const bottom = Math.min(-400, ...xs.map((x) => x - 130)) * scale;
    d = sheet(scale, [WIDE / 2, top]);
    high = top - bottom + FOOT + more;
    const size = `0 0 ${WIDE} ${r(high)}`;
    if (root.getAttribute("viewBox") !== size) root.setAttribute("viewBox", size);
    const [{ axis: left }, { axis: right }] = positions[0].wheels;
    line(p.beam, d, left, right);
    // A hint of the body's front: which way the car goes.
    const edge = left[1] * scale * 0.86;
    set(p.body, {
      d: `M${r(WIDE / 2 - edge)} ${r(HEAD + 26)}C${r(WIDE / 2 - edge)} ${r(HEAD - 10)} ${r(WIDE / 2 - edge * 0.6)} ${r(HEAD - 14)} ${r(WIDE / 2)} ${r(HEAD - 14)}S${r(WIDE / 2 + edge)} ${r(HEAD - 10)} ${r(WIDE / 2 + edge)} ${r(HEAD + 26)}`,
    });
    set(p.front, { d: `M${WIDE / 2 - 24} ${HEAD + 22}v-22m-6 8l6 -9l6 9` });
    set(p.frontWord, { x: String(WIDE / 2 - 12), y: String(HEAD + 16) });
    set(steering, { transform: `translate(${WIDE / 2} ${r(high - 62)})` });
    set(p.turnWord, { x: String(WIDE / 2), y: r(high - 8) });
  }

  /**
   * Puts everything where the core says; `turn` is what holds for the whole turn.
   * @type {(seen: AxleDrawing, turn: TurnView) => void}
   */
  function move(seen, turn) {
    const wide = seen.tyre ?? TYRE.width;
    const [from, to] = seen.wheels.map((w) => w.inner);
    const side = seen.inner === "left" ? 1 : -1;
    for (const [n, w] of seen.wheels.entries()) {
      tyre(p.tyres[n], d, w.contact, wide, w.steer);
      p.rays[n].classList.toggle("gone", !seen.inner);
      ray(p.rays[n], w.contact, along(w, side * 9000));
      line(p.stubs[n], d, w.axis, w.contact);
      line(p.arms[n], d, w.axis, w.rod_end);
      line(p.rods[n], d, w.rod_end, w.inner);
      for (const [k, at] of [w.axis, w.rod_end, w.inner].entries()) dot(p.joints[3 * n + k], d, at);
      const x = Math.min(WIDE - 52, Math.max(52, d.point([0, w.axis[1]])[0]));
      set(p.angles[n], { x: r(x), y: r(high - 26) });
      set(p.roles[n], { x: r(x), y: r(high - 8) });
      say(p.angles[n], w.text);
      const name = n === 0 ? "left" : "right";
      say(p.roles[n], seen.inner ? (seen.inner === name ? words.turning.inner : words.turning.outer) : words.turning.wheel[name]);
    }
    // The housing stays where it is; the bar with the inner joints moves through it by the rack's displacement.
    const [a, b] = [from[1] - seen.rack, to[1] - seen.rack];
    const inset = Math.min((a - b) * 0.12, 90);
    line(p.housing, d, [from[0], a - inset], [from[0], b + inset]);
    line(p.bar, d, from, to);
    /** @type {Point} */
    const pinion = [from[0], b + (a - b) * 0.7];
    dot(p.pinion, d, pinion);
    const [px, py] = d.point(pinion);
    set(p.tooth, { x1: r(px), y1: r(py), x2: r(px), y2: r(py - 9), transform: `rotate(${r(-(seen.hand ?? 0))} ${r(px)} ${r(py)})` });
    transmission(seen);
    directions(seen, turn, d.point([from[0], (a + b) / 2]), from[0] <= 0 ? 1 : -1);
    set(wheel, { transform: `rotate(${r(-(seen.hand ?? 0))})` });
    say(p.turnWord, words.turning.hand(seen.hand_text?.[1], seen.turned));
  }

  // A wheel's axis, which ends above the steering wheel and the words; the whole car's drawing has all of it.
  /** @type {(node: Element, from: Point, to: Point) => void} */
  function ray(node, from, to) {
    const [[x1, y1], [x2, y2]] = [d.point(from), d.point(to)];
    const floor = high - FOOT - 20;
    const share = y2 > floor && y2 > y1 ? Math.max(0, floor - y1) / (y2 - y1) : 1;
    set(node, { x1: r(x1), y1: r(y1), x2: r(x1 + (x2 - x1) * share), y2: r(y1 + (y2 - y1) * share) });
  }

  // The angle between rod and arm at the tighter joint; past the square the arm is drawn on beyond the joint.
  /** @type {(seen: AxleDrawing) => void} */
  function transmission(seen) {
    const w = seen.wheels[seen.tight];
    const [o, axis, inner] = [w.rod_end, w.axis, w.inner].map(d.point);
    let arm = Math.atan2(axis[1] - o[1], axis[0] - o[0]);
    const rod = Math.atan2(inner[1] - o[1], inner[0] - o[0]);
    const between = () => Math.atan2(Math.sin(rod - arm), Math.cos(rod - arm));
    const past = Math.abs(between()) > Math.PI / 2;
    if (past) arm += Math.PI;
    const swing = between();
    const far = 30;
    /** @type {(angle: number, radius: number) => string} */
    const at = (angle, radius) => `${r(o[0] + radius * Math.cos(angle))} ${r(o[1] + radius * Math.sin(angle))}`;
    set(p.wedge, { d: `M${r(o[0])} ${r(o[1])}L${at(arm, far)}A${far} ${far} 0 0 ${swing > 0 ? 1 : 0} ${at(rod, far)}Z` });
    p.beyond.classList.toggle("gone", !past);
    set(p.beyond, { x1: r(o[0]), y1: r(o[1]), x2: r(o[0] + (far + 8) * Math.cos(arm)), y2: r(o[1] + (far + 8) * Math.sin(arm)) });
    // Its figure stands beside the rod, on the arm's side, clear of joints and housing.
    const aside = rod - Math.sign(swing || 1) * (Math.PI / 2);
    const [x, y] = [0, 1].map((k) => 0.4 * o[k] + 0.6 * inner[k]);
    set(p.tight, { x: r(x + 30 * Math.cos(aside)), y: r(y + 27 * Math.sin(aside) + 5) });
    say(p.tight, seen.tight_text);
  }

  // Which way the steering wheel is turned, which way that moves the bar, and which way it should.
  /** @type {(seen: AxleDrawing, turn: TurnView, middle: Point, below: number) => void} */
  function directions(seen, turn, [x, y], below) {
    const off = !seen.turned;
    const known = turn.bar_goes !== "";
    for (const node of [p.goes, p.goesWord, p.sweep]) node.classList.toggle("gone", off || (node !== p.sweep && !known));
    for (const node of [p.wanted, p.wantedWord]) node.classList.toggle("gone", off || (known && !turn.backwards));
    const sign = seen.turned === "left" ? -1 : 1;
    /** @type {(way: number, row: number) => { d: string }} */
    const arrow = (way, row) => {
      const [at, tip] = [y + below * (22 + 22 * row), x + way * 34];
      return { d: `M${r(x - way * 34)} ${r(at)}H${r(tip)}m${-way * 8} -6l${way * 8} 6l${-way * 8} 6` };
    };
    // Which way the bar went, as it is on the picture: the car's left is its left.
    const way = seen.bar === "left" ? -1 : 1;
    /** @type {(row: number) => { x: string, y: string }} */
    const label = (row) => ({ x: r(x), y: r(y + below * (22 + 22 * row) + (below > 0 ? 17 : -8)) });
    set(p.goes, { ...arrow(way, 0), class: turn.backwards ? "goes wrong" : "goes", ...(off || !known ? { class: "goes gone" } : {}) });
    set(p.goesWord, label(0));
    say(p.goesWord, words.turning.goes(seen.bar));
    const row = known ? 1.9 : 0;
    const should = known ? -way : way;
    const gone = off || (known && !turn.backwards);
    set(p.wanted, { ...arrow(should, row), class: gone ? "goes wanted gone" : "goes wanted" });
    set(p.wantedWord, label(row));
    say(p.wantedWord, words.turning.should(should < 0 ? "left" : "right"));
    const [sx, sy] = [sign * 36 * Math.sin(1.25), -36 * Math.cos(1.25)];
    set(p.sweep, { d: `M0 -36A36 36 0 0 ${sign > 0 ? 1 : 0} ${r(sx)} ${r(sy)}m${r(-sign * 9)} -5l${r(sign * 9)} 5l${r(sign * 4)} -9` });
  }

  return { root, fit, move };
}
