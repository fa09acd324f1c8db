// A corner from ahead, to scale: arms, upright, wheel and tie rod, the lines of the arms to where they meet, and the wedge between the rod's own line and the
// one it had better have. Made once, then only moved. The left wheel stands at the right, as one stands before the car.

import { s, setText } from "../../widgets/dom.js";
import { WIDTH, make, round, setAttributes } from "../turning/axle.js";
import { words } from "../../words.js";

/** @import { CornerDrawing } from "../../../types/core" */
/** @import { Point } from "../../../types/page" */

const w = words.bump;
const HIGH = 226;
const TYRE = 165; // mm, drawn but not measured
const LENS = { x: 62, y: 60, r: 46 };
const FAR = 3000; // mm: beyond any picture

/** The drawing: `fit` it to the corner at ride height, then `move` it. */
export function cornerDrawing() {
  const p = {
    floor: make("path", "dim"),
    middle: make("path", "centre"),
    middleWord: s("text", { "text-anchor": "start" }, w.middle),
    wedge: make("path", "wedge"),
    lines: [0, 1].map(() => make("path", "ray")),
    housing: make("path", "housing"),
    bar: make("path", "bar"),
    tyre: make("path", "tyre"),
    stub: make("path", "stub"),
    arms: [0, 1, 2, 3].map(() => make("path", "link")),
    upright: make("path", "arm"),
    rod: make("path", "rod"),
    joints: Array.from({ length: 8 }, () => make("circle", "joint", { r: 4.5 })),
    meet: make("circle", "here", { r: 6 }),
    meetWord: s("text", { "text-anchor": "middle", class: "strong" }, w.meet),
    lead: make("path", "dim"),
    glass: make("circle", "glass", { cx: LENS.x, cy: LENS.y, r: LENS.r }),
    near: {
      bar: make("path", "bar"),
      rod: make("path", "rod"),
      gap: make("path", "gap"),
      there: make("circle", "there", { r: 9 }),
      here: make("circle", "joint", { r: 9 }),
    },
    rim: make("circle", "glass rim", { cx: LENS.x, cy: LENS.y, r: LENS.r }),
    off: s("text", { x: LENS.x + LENS.r + 8, y: LENS.y - 22, class: "strong" }),
    offWord: s("text", { x: LENS.x + LENS.r + 8, y: LENS.y - 5 }, w.lens),
  };
  const inGlass = s("g", { "clip-path": "url(#lens)" }, Object.values(p.near));
  const clip = s("clipPath", { id: "lens" }, s("circle", { cx: LENS.x, cy: LENS.y, r: LENS.r }));
  const lens = s("g", {}, p.lead, p.glass, inGlass, p.rim, p.off, p.offWord);
  const root = s(
    "svg",
    { role: "img", class: "plan corner", viewBox: `0 0 ${WIDTH} ${HIGH}` },
    s("defs", {}, clip),
    p.floor,
    p.middle,
    p.wedge,
    p.lines,
    p.housing,
    p.bar,
    p.tyre,
    p.stub,
    p.arms,
    p.upright,
    p.rod,
    p.joints,
    p.meet,
    p.middleWord,
    p.meetWord,
    lens,
  );
  let scale = 1;
  let origin = [0, 0];
  let sign = 1; // of the side: the left wheel to the right
  /** @type {(at: readonly number[]) => Point} */
  const seen = ([y, z]) => [origin[0] + sign * y * scale, origin[1] - z * scale];
  /** @type {(at: readonly number[]) => Point} */
  const front = ([, y, z]) => seen([y, z]);
  /** @type {(...points: Point[]) => { d: string }} */
  const path = (...points) => ({ d: `M${points.map(([x, y]) => `${round(x)} ${round(y)}`).join("L")}` });

  /**
   * Chooses the scale; `reach` is how far the wheel goes up and down, mm.
   * @type {(still: CornerDrawing, reach: number) => void}
   */
  function fit(still, reach) {
    sign = still.wheel[1] < 0 ? -1 : 1;
    const out = Math.abs(still.wheel[1]) + TYRE * 0.75;
    const middle = still.centre ? sign * still.centre[0] : 0;
    const inner = sign * still.rod[1][1];
    const left = Math.max(-0.25 * out, Math.min(inner - 260, middle - 60));
    const top = Math.max(still.wheel[2] + still.radius + reach, still.upper[2][2] + 20);
    const bottom = -Math.max(30, reach * 0.6);
    scale = Math.min((WIDTH - 4) / (out - left), (HIGH - 4) / (top - bottom));
    origin = [sign > 0 ? WIDTH - 2 - out * scale : 2 + out * scale, HIGH - 2 + bottom * scale];
  }

  /**
   * Moves everything to how the corner stands; `better` is the inner joint where it had better be, `off` how far it is from there.
   * @type {(now: CornerDrawing, better: number[] | null, off: string) => void}
   */
  function move(now, better, off) {
    const { lower, upper, rod, wheel, spin, radius, centre } = now;
    const [outer, inner] = [front(rod[0]), front(rod[1])];
    const ball = front(lower[2]);
    const top = front(upper[2]);
    const floor = seen([0, 0])[1];
    setAttributes(p.floor, { d: `M0 ${round(floor)}H${WIDTH}` });
    const x = seen([0, 0])[0];
    setAttributes(p.middle, { d: `M${round(x)} ${round(floor)}V${round(inner[1] - 56)}` });
    setAttributes(p.middleWord, { x: round(sign > 0 ? x + 5 : x - 5), y: round(floor - 5), "text-anchor": sign > 0 ? "start" : "end" });
    for (const node of [p.middle, p.middleWord]) node.classList.toggle("gone", x < 0 || x > WIDTH - 1);
    // The tyre from ahead: a rounded rectangle about the wheel's centre, leaning with its axis.
    const lean = Math.atan2(spin[2], Math.abs(spin[1]));
    const [cx, cy] = front(wheel);
    const [wide, high] = [TYRE * scale, 2 * radius * scale];
    setAttributes(p.tyre, {
      d: `M${round(-wide / 2 + 9)} ${round(-high / 2)}h${round(wide - 18)}q9 0 9 9v${round(high - 18)}q0 9 -9 9h${round(18 - wide)}q-9 0 -9 -9v${round(18 - high)}q0 -9 9 -9Z`,
      transform: `translate(${round(cx)} ${round(cy)}) rotate(${round((-sign * lean * 180) / Math.PI)})`,
    });
    const foot = [0, 1].map((k) => ball[k] + ((top[k] - ball[k]) * (wheel[2] - lower[2][2])) / (upper[2][2] - lower[2][2] || 1));
    setAttributes(p.stub, path([foot[0], foot[1]], [cx, cy]));
    const ends = [...[lower[0], lower[1]].map((at) => [at, ball]), ...[upper[0], upper[1]].map((at) => [at, top])];
    for (const [n, [at, to]] of ends.entries()) {
      p.arms[n].classList.toggle("gone", now.strut && n > 1);
      setAttributes(p.arms[n], path(front(/** @type {number[]} */ (at)), /** @type {Point} */ (to)));
    }
    setAttributes(p.upright, path(ball, top));
    setAttributes(p.rod, path(outer, inner));
    const all = [outer, inner, ball, top, ...[lower[0], lower[1], upper[0], upper[1]].map(front)];
    for (const [n, [jx, jy]] of all.entries()) setAttributes(p.joints[n], { cx: round(jx), cy: round(jy) });
    // The bar runs to the other inner joint, the housing stands about its middle.
    const [end] = seen([-rod[1][1], 0]);
    setAttributes(p.bar, path(inner, [end, inner[1]]));
    const inset = (inner[0] - end) * 0.14;
    setAttributes(p.housing, path([inner[0] - inset, inner[1]], [end + inset, inner[1]]));
    // Instant lines, and the wedge: as long as the way to where they meet, or out of the picture.
    const meets = centre && Math.abs(centre[0] - rod[0][1]) < FAR ? seen(centre) : null;
    for (const [n, [from, to]] of now.lines.slice(0, 2).entries())
      setAttributes(p.lines[n], path(seen(from), meets ? seen(to) : beyond(seen(from), seen(n ? upperPivot(now) : lowerPivot(now)))));
    const goal = meets ?? shifted(outer, seen(now.lines[0][0]), seen(lowerPivot(now)));
    const share = (goal[0] - outer[0]) / (inner[0] - outer[0] || 1);
    setAttributes(p.wedge, {
      d: `${path(outer, goal, [goal[0], outer[1] + share * (inner[1] - outer[1])]).d}Z`,
    });
    for (const node of [p.meet, p.meetWord]) node.classList.toggle("gone", !meets || meets[0] < 8 || meets[0] > WIDTH - 8);
    if (meets) {
      setAttributes(p.meet, { cx: round(meets[0]), cy: round(meets[1]) });
      // Beside the edge it runs inward.
      const [anchor, x] = meets[0] < 100 ? ["start", 4] : meets[0] > WIDTH - 100 ? ["end", WIDTH - 4] : ["middle", meets[0]];
      setAttributes(p.meetWord, { x: round(Number(x)), y: round(meets[1] + 23), "text-anchor": String(anchor) });
    }
    glass(now, better, off, outer, inner);
  }

  // The lens: the inner joint and where it had better be, large enough to be seen.
  /** @type {(now: CornerDrawing, better: number[] | null, off: string, outer: Point, inner: Point) => void} */
  function glass({ rod }, better, off, outer, inner) {
    lens.classList.toggle("gone", !better);
    if (!better) return;
    const shift = [sign * (better[1] - rod[1][1]), better[2] - rod[1][2]];
    const zoom = Math.min(3, 26 / (Math.hypot(...shift) || 1));
    const { x, y, r } = sign > 0 ? LENS : { ...LENS, x: WIDTH - LENS.x };
    const d = Math.hypot(outer[0] - inner[0], outer[1] - inner[1]) || 1;
    const along = [(outer[0] - inner[0]) / d, (outer[1] - inner[1]) / d];
    const up = -shift[1] * zoom;
    const at = y - up / 2;
    for (const node of [p.glass, p.rim, clip.firstElementChild]) if (node) setAttributes(node, { cx: String(x) });
    setAttributes(p.near.bar, path([x - sign * r, at], [x, at]));
    setAttributes(p.near.rod, path([x, at], [x + along[0] * r * 2, at + along[1] * r * 2]));
    setAttributes(p.near.here, { cx: String(x), cy: round(at) });
    setAttributes(p.near.there, { cx: round(x + shift[0] * zoom), cy: round(at + up) });
    setAttributes(p.near.gap, { d: `M${x + sign * 17} ${round(at)}v${round(up)}h${sign * 9}v${round(-up)}Z` });
    const text = x + sign * (r + 8);
    for (const node of [p.off, p.offWord]) setAttributes(node, { x: String(text), "text-anchor": sign > 0 ? "start" : "end" });
    setText(p.off, off);
    setAttributes(p.lead, path([x + sign * r * 0.7, y + r * 0.72], inner));
  }

  return { root, fit, move };
}

// A line from a point through another, out of the picture.
/** @type {(from: Point, through: Point) => Point} */
function beyond(from, through) {
  const d = Math.hypot(through[0] - from[0], through[1] - from[1]) || 1;
  return [from[0] + ((through[0] - from[0]) * 900) / d, from[1] + ((through[1] - from[1]) * 900) / d];
}

// The same direction from another point.
/** @type {(at: Point, from: Point, through: Point) => Point} */
const shifted = (at, from, through) => beyond(at, [at[0] + through[0] - from[0], at[1] + through[1] - from[1]]);

/** @type {(pivots: number[][]) => number[]} */
const middleOf = ([a, b]) => [(a[1] + b[1]) / 2, (a[2] + b[2]) / 2];
/** @type {(now: CornerDrawing) => number[]} */
const lowerPivot = ({ lower }) => middleOf(lower);
/** @type {(now: CornerDrawing) => number[]} */
const upperPivot = ({ upper }) => middleOf(upper);
