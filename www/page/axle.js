// Two drawings from above, to scale: the axle as it stands, and the whole car round its turning centre.
//
// The car's X points forward and is drawn upwards; its Y points left and is drawn to the left.

import { s } from "./dom.js";
import { words } from "./words.js";

// Tyres are not measured for this; their drawn size is the one made-up thing here.
const TYRE = { length: 620, width: 165 };
const WIDE = 390;

function sheet(scale, origin) {
  const point = ([x, y]) => [origin[0] - y * scale, origin[1] - x * scale];
  return {
    scale, point,
    line(a, b, kind) {
      const [x1, y1] = point(a);
      const [x2, y2] = point(b);
      return s("line", { x1: r(x1), y1: r(y1), x2: r(x2), y2: r(y2), class: kind });
    },
    dot(at, radius, kind) {
      const [cx, cy] = point(at);
      return s("circle", { cx: r(cx), cy: r(cy), r: radius, class: kind });
    },
    box(at, long, wide, turn, kind) {
      const [x, y] = point(at);
      const [w, l] = [wide * scale, long * scale];
      return s("rect", { x: r(x - w / 2), y: r(y - l / 2), width: r(w), height: r(l), rx: r(w * 0.22), class: kind, transform: `rotate(${r(-turn)} ${r(x)} ${r(y)})` });
    },
    text(at, dy, content, kind, anchor = "middle") {
      const [x, y] = point(at);
      return s("text", { x: r(x), y: r(y + dy), "text-anchor": anchor, class: kind ?? "" }, content);
    },
  };
}

const r = (v) => Math.round(v * 100) / 100;

/** The front axle: wheels, arms, rods, rack, and the lines on which the wheels turn. */
export function axleDrawing(seen, label) {
  const tyre = seen.tyre ?? TYRE.width;
  const half = Math.max(...seen.wheels.map((w) => Math.abs(w.contact[1]))) + 330;
  const scale = WIDE / 2 / half;
  const xs = seen.wheels.flatMap((w) => [w.axis[0], w.rod_end[0], w.inner[0]]);
  const top = Math.max(380, ...xs.map((x) => x + 60));
  const bottom = Math.min(-420, ...xs.map((x) => x - 60));
  const d = sheet(scale, [WIDE / 2, top * scale]);
  const high = (top - bottom) * scale + 64;
  const out = [d.line(seen.wheels[0].axis, seen.wheels[1].axis, "beam")];
  for (const wheel of seen.wheels) out.push(d.box(wheel.contact, TYRE.length, tyre, wheel.steer, "tyre"));
  if (seen.inner) for (const wheel of seen.wheels) out.push(d.line(wheel.contact, along(wheel, seen.inner), "ray"));
  for (const wheel of seen.wheels) out.push(d.line(wheel.axis, wheel.contact, "stub"));
  // The housing stays where it is; the bar with the inner joints moves through it by s.
  const [from, to] = seen.wheels.map((w) => w.inner);
  const [a, b] = [from[1] - seen.rack, to[1] - seen.rack];
  const inset = Math.min((a - b) * 0.12, 90);
  out.push(d.line([from[0], a - inset], [from[0], b + inset], "housing"), d.line(from, to, "bar"), d.dot([from[0], b + (a - b) * 0.7], 10, "pinion"));
  for (const wheel of seen.wheels) out.push(d.line(wheel.axis, wheel.rod_end, "arm"), d.line(wheel.rod_end, wheel.inner, "rod"));
  for (const wheel of seen.wheels) out.push(d.dot(wheel.axis, 5, "joint"), d.dot(wheel.rod_end, 5, "joint"), d.dot(wheel.inner, 4.5, "joint"));
  for (const [i, wheel] of seen.wheels.entries()) {
    const side = i === 0 ? "left" : "right";
    const role = seen.inner ? (seen.inner === side ? words.turning.inner : words.turning.outer) : words.turning.wheel[side];
    const x = Math.min(WIDE - 46, Math.max(46, d.point(wheel.contact)[0]));
    out.push(s("text", { x: r(x), y: r(high - 26), "text-anchor": "middle", class: "angle" }, wheel.text), s("text", { x: r(x), y: r(high - 8), "text-anchor": "middle" }, role));
  }
  return s("svg", { viewBox: `0 0 ${WIDE} ${r(high)}`, role: "img", "aria-label": label, class: "plan" }, out);
}

// The wheel's own axis towards the side on which the car turns.
function along(wheel, inner) {
  const turn = (wheel.steer * Math.PI) / 180;
  const to = inner === "left" ? 12000 : -12000;
  return [wheel.contact[0] - Math.sin(turn) * to, wheel.contact[1] + Math.cos(turn) * to];
}

/** The whole car with both wheels' axes running to the rear axle's line; nothing when it goes straight on. */
export function wholeCar(seen, label) {
  const { band, centre, inner, wheelbase } = seen;
  if (centre === null || band === null || !band.every(Number.isFinite)) return null;
  const tyre = seen.tyre ?? TYRE.width;
  const rear = -wheelbase;
  const far = Math.max(...band.map(Math.abs));
  const wide = Math.max(...seen.wheels.map((w) => Math.abs(w.contact[1])));
  if (far > 40000) return null;
  const to = inner === "left" ? 1 : -1;
  const span = far + wide + 900;
  const scale = (WIDE - 16) / span;
  const left = to > 0 ? 8 + (far + 450) * scale : 8 + (wide + 450) * scale;
  const d = sheet(scale, [left, 460 * scale + 4]);
  const high = (460 - rear + 460) * scale + 26;
  const ends = [rear, to * (far + 300)];
  const out = [d.line([rear, -to * wide], ends, "axis")];
  for (const [i, wheel] of seen.wheels.entries()) out.push(d.line(wheel.contact, [rear, band[i === (inner === "left" ? 0 : 1) ? 1 : 0]], "ray"));
  for (const wheel of seen.wheels) out.push(d.box(wheel.contact, TYRE.length, tyre, wheel.steer, "tyre"));
  for (const wheel of seen.wheels) out.push(d.box([rear, Math.sign(wheel.contact[1]) * wide], TYRE.length, tyre, 0, "tyre soft"));
  out.push(d.line(seen.wheels[0].axis, seen.wheels[1].axis, "stub"));
  out.push(d.line([rear, band[0]], [rear, band[1]], "between"), d.dot([rear, centre], 5, "here"));
  out.push(d.text([rear, centre], 20, words.turning.centre, "", to > 0 ? "start" : "end"));
  return s("svg", { viewBox: `0 0 ${WIDE} ${r(high)}`, role: "img", "aria-label": label, class: "plan" }, out);
}
