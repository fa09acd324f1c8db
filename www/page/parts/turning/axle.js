// The front axle in plan view, to scale. Its elements are made once; the core gives every position, and they are only moved.
//
// Vehicle axes as in ISO 8855: X forward, drawn upwards; Y to the left, drawn to the left.

import { updateAttribute, s, setText } from "../../widgets/dom.js";
import { words } from "../../words.js";

/** @import { AxleDrawing, TurnView, WheelDrawing } from "../../../types/core" */
/** @import { Point } from "../../../types/page" */
/** @typedef {{ scale: number, point: (at: Point) => Point }} Projection a picture of a scale: where a point of the car lies on it */

// Sizes that are drawn but not measured: tyres and body.
export const TYRE = { length: 620, width: 165 };
export const WIDTH = 390;
const FOOT = 104;
const HEAD = 34;

/**
 * A number for an attribute, rounded to hundredths of a unit: finer than any screen.
 * @type {(v: number) => string}
 */
export const round = (v) => String(Math.round(v * 100) / 100);

/**
 * Sets attributes that differ.
 * @type {(node: Element, attributes: Record<string, string>) => void}
 */
export const setAttributes = (node, attributes) => {
  for (const name in attributes) updateAttribute(node, name, attributes[name]);
};

/**
 * The projection of points of the car (mm) to a drawing of this scale, with the car's origin at `origin`.
 * @type {(scale: number, origin: Point) => Projection}
 */
export const projection = (scale, origin) => ({ scale, point: ([x, y]) => [origin[0] - y * scale, origin[1] - x * scale] });

/**
 * Puts a line between two points of the car.
 * @type {(node: Element, d: Projection, a: Point, b: Point) => void}
 */
export function placeLine(node, d, a, b) {
  const [x1, y1] = d.point(a);
  const [x2, y2] = d.point(b);
  setAttributes(node, { x1: round(x1), y1: round(y1), x2: round(x2), y2: round(y2) });
}

/**
 * Puts a circle's middle at a point of the car.
 * @type {(node: Element, d: Projection, at: Point) => void}
 */
export function placeCircle(node, d, at) {
  const [cx, cy] = d.point(at);
  setAttributes(node, { cx: round(cx), cy: round(cy) });
}

/**
 * Puts a tyre at a point of the car, turned by so many degrees to the left.
 * @type {(node: Element, d: Projection, at: Point, wide: number, turn: number) => void}
 */
export function placeTyre(node, d, at, wide, turn) {
  const [x, y] = d.point(at);
  const [w, l] = [wide * d.scale, TYRE.length * d.scale];
  setAttributes(node, {
    x: round(x - w / 2),
    y: round(y - l / 2),
    width: round(w),
    height: round(l),
    rx: round(w * 0.22),
    transform: `rotate(${round(-turn)} ${round(x)} ${round(y)})`,
  });
}

/**
 * A point on a wheel's spin axis, `far` mm to the left of the wheel, negative to the right.
 * @type {(wheel: WheelDrawing, far: number) => Point}
 */
export function alongAxis(wheel, far) {
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
  let d = projection(1, [0, 0]);
  let high = 0;

  /**
   * Chooses the scale for all positions from lock to lock, and places what does not move; `more` is height for a second arrow.
   * @type {(positions: AxleDrawing[], more: number) => void}
   */
  function fit(positions, more) {
    const wheels = positions.flatMap((seen) => seen.wheels);
    const half = Math.max(...wheels.map((w) => Math.abs(w.contact[1]))) + 330;
    const scale = WIDTH / 2 / half;
    const xs = wheels.flatMap((w) => [w.axis[0], w.rod_end[0], w.inner[0]]);
    const top = Math.max(380, ...xs.map((x) => x + 60)) * scale + HEAD;
    const bottom = Math.min(-400, ...xs.map((x) => x - 130)) * scale;
    d = projection(scale, [WIDTH / 2, top]);
    high = top - bottom + FOOT + more;
    const size = `0 0 ${WIDTH} ${round(high)}`;
    if (root.getAttribute("viewBox") !== size) root.setAttribute("viewBox", size);
    const [{ axis: left }, { axis: right }] = positions[0].wheels;
    placeLine(p.beam, d, left, right);
    // The outline of the body's front shows which way is forward.
    const edge = left[1] * scale * 0.86;
    setAttributes(p.body, {
      d: `M${round(WIDTH / 2 - edge)} ${round(HEAD + 26)}C${round(WIDTH / 2 - edge)} ${round(HEAD - 10)} ${round(WIDTH / 2 - edge * 0.6)} ${round(HEAD - 14)} ${round(WIDTH / 2)} ${round(HEAD - 14)}S${round(WIDTH / 2 + edge)} ${round(HEAD - 10)} ${round(WIDTH / 2 + edge)} ${round(HEAD + 26)}`,
    });
    setAttributes(p.front, { d: `M${WIDTH / 2 - 24} ${HEAD + 22}v-22m-6 8l6 -9l6 9` });
    setAttributes(p.frontWord, { x: String(WIDTH / 2 - 12), y: String(HEAD + 16) });
    setAttributes(steering, { transform: `translate(${WIDTH / 2} ${round(high - 62)})` });
    setAttributes(p.turnWord, { x: String(WIDTH / 2), y: round(high - 8) });
  }

  /**
   * Moves everything to a position of the axle; `turn` is the view from lock to lock.
   * @type {(seen: AxleDrawing, turn: TurnView) => void}
   */
  function move(seen, turn) {
    const wide = seen.tyre ?? TYRE.width;
    const [from, to] = seen.wheels.map((w) => w.inner);
    const side = seen.inner === "left" ? 1 : -1;
    for (const [n, w] of seen.wheels.entries()) {
      placeTyre(p.tyres[n], d, w.contact, wide, w.steer);
      p.rays[n].classList.toggle("gone", !seen.inner);
      ray(p.rays[n], w.contact, alongAxis(w, side * 9000));
      placeLine(p.stubs[n], d, w.axis, w.contact);
      placeLine(p.arms[n], d, w.axis, w.rod_end);
      placeLine(p.rods[n], d, w.rod_end, w.inner);
      for (const [k, at] of [w.axis, w.rod_end, w.inner].entries()) placeCircle(p.joints[3 * n + k], d, at);
      const x = Math.min(WIDTH - 52, Math.max(52, d.point([0, w.axis[1]])[0]));
      setAttributes(p.angles[n], { x: round(x), y: round(high - 26) });
      setAttributes(p.roles[n], { x: round(x), y: round(high - 8) });
      setText(p.angles[n], w.text);
      const name = n === 0 ? "left" : "right";
      setText(p.roles[n], seen.inner ? (seen.inner === name ? words.turning.inner : words.turning.outer) : words.turning.wheel[name]);
    }
    // The housing stays where it is; the bar with the inner joints moves through it by the rack's displacement.
    const [a, b] = [from[1] - seen.rack, to[1] - seen.rack];
    const inset = Math.min((a - b) * 0.12, 90);
    placeLine(p.housing, d, [from[0], a - inset], [from[0], b + inset]);
    placeLine(p.bar, d, from, to);
    /** @type {Point} */
    const pinion = [from[0], b + (a - b) * 0.7];
    placeCircle(p.pinion, d, pinion);
    const [px, py] = d.point(pinion);
    setAttributes(p.tooth, {
      x1: round(px),
      y1: round(py),
      x2: round(px),
      y2: round(py - 9),
      transform: `rotate(${round(-(seen.hand ?? 0))} ${round(px)} ${round(py)})`,
    });
    transmission(seen);
    directions(seen, turn, d.point([from[0], (a + b) / 2]), from[0] <= 0 ? 1 : -1);
    setAttributes(wheel, { transform: `rotate(${round(-(seen.hand ?? 0))})` });
    setText(p.turnWord, words.turning.hand(seen.hand_text?.[1], seen.turned));
  }

  // A wheel's spin axis, cut off above the steering wheel and the texts; the drawing of the whole car shows all of it.
  /** @type {(node: Element, from: Point, to: Point) => void} */
  function ray(node, from, to) {
    const [[x1, y1], [x2, y2]] = [d.point(from), d.point(to)];
    const floor = high - FOOT - 20;
    const share = y2 > floor && y2 > y1 ? Math.max(0, floor - y1) / (y2 - y1) : 1;
    setAttributes(node, { x1: round(x1), y1: round(y1), x2: round(x1 + (x2 - x1) * share), y2: round(y1 + (y2 - y1) * share) });
  }

  // The transmission angle, between tie rod and arm, at the joint where it is smaller; beyond 90° the arm is extended past the joint.
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
    const at = (angle, radius) => `${round(o[0] + radius * Math.cos(angle))} ${round(o[1] + radius * Math.sin(angle))}`;
    setAttributes(p.wedge, { d: `M${round(o[0])} ${round(o[1])}L${at(arm, far)}A${far} ${far} 0 0 ${swing > 0 ? 1 : 0} ${at(rod, far)}Z` });
    p.beyond.classList.toggle("gone", !past);
    setAttributes(p.beyond, {
      x1: round(o[0]),
      y1: round(o[1]),
      x2: round(o[0] + (far + 8) * Math.cos(arm)),
      y2: round(o[1] + (far + 8) * Math.sin(arm)),
    });
    // Its figure is placed beside the rod, on the arm's side, clear of joints and housing.
    const aside = rod - Math.sign(swing || 1) * (Math.PI / 2);
    const [x, y] = [0, 1].map((k) => 0.4 * o[k] + 0.6 * inner[k]);
    setAttributes(p.tight, { x: round(x + 30 * Math.cos(aside)), y: round(y + 27 * Math.sin(aside) + 5) });
    setText(p.tight, seen.tight_text);
  }

  // Which way the steering wheel is turned, which way that moves the rack bar, and which way it should.
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
      return { d: `M${round(x - way * 34)} ${round(at)}H${round(tip)}m${-way * 8} -6l${way * 8} 6l${-way * 8} 6` };
    };
    // The direction of the bar in the drawing, where the car's left is on the left.
    const way = seen.bar === "left" ? -1 : 1;
    /** @type {(row: number) => { x: string, y: string }} */
    const label = (row) => ({ x: round(x), y: round(y + below * (22 + 22 * row) + (below > 0 ? 17 : -8)) });
    setAttributes(p.goes, {
      ...arrow(way, 0),
      class: turn.backwards ? "goes wrong" : "goes",
      ...(off || !known ? { class: "goes gone" } : {}),
    });
    setAttributes(p.goesWord, label(0));
    setText(p.goesWord, words.turning.goes(seen.bar));
    const row = known ? 1.9 : 0;
    const should = known ? -way : way;
    const gone = off || (known && !turn.backwards);
    setAttributes(p.wanted, { ...arrow(should, row), class: gone ? "goes wanted gone" : "goes wanted" });
    setAttributes(p.wantedWord, label(row));
    setText(p.wantedWord, words.turning.should(should < 0 ? "left" : "right"));
    const [sx, sy] = [sign * 36 * Math.sin(1.25), -36 * Math.cos(1.25)];
    setAttributes(p.sweep, {
      d: `M0 -36A36 36 0 0 ${sign > 0 ? 1 : 0} ${round(sx)} ${round(sy)}m${round(-sign * 9)} -5l${round(sign * 9)} 5l${round(sign * 4)} -9`,
    });
  }

  return { root, fit, move };
}
