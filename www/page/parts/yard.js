// What to look for before the trip: sentences and a small picture, both from the core. Worked out only while it is open and near.

import { Refused, Stopped, lookFor } from "../core.js";
import { h, mark, put, s } from "../widgets/dom.js";
import { rackName } from "./form.js";
import { open, readUnits } from "../plan.js";
import { held, steady } from "../widgets/reach.js";
import { words } from "../words.js";

const part = (id) => document.getElementById(id);
const idle = window.requestIdleCallback ? (run) => requestIdleCallback(run, { timeout: 250 }) : (run) => setTimeout(run, 60);
let given = null; // what it is to be worked out from: view, plan, text
let told = null;
let toldFor = "";
let drawn = "";
let near = false;
let waiting = false;
let opened = "";

/** Watches for what makes it worth working out: unfolded, near the screen, another width. */
export function watch() {
  part("yard").addEventListener("toggle", later);
  new ResizeObserver(later).observe(part("yard-told"));
  new IntersectionObserver(
    ([seen]) => {
      near = seen.isIntersecting;
      if (near) later();
    },
    { rootMargin: "300px" },
  ).observe(part("yard"));
}

/** Takes what the page shows now. */
export function paint(view, plan, text) {
  given = { view, plan, text };
  // Of a plan without a rack this is the first answer: it stands open until somebody folds it.
  const which = `${open.mode}|${open.id}`;
  if (opened !== which) {
    opened = which;
    part("yard").open = !view.racks.some((rack) => rack.fields.inner_joint_spacing);
  }
  later();
}

function later() {
  if (waiting || !given || !near || !part("yard").open) return;
  waiting = true;
  idle(() => {
    waiting = false;
    try {
      steady(held(), show);
    } catch (error) {
      // The core comes back by itself and the page is painted anew.
      if (!(error instanceof Stopped) && !(error instanceof Refused)) throw error;
    }
  });
}

function show() {
  const { view, plan, text } = given;
  const key = JSON.stringify(plan);
  if (key !== toldFor) {
    told = lookFor(plan);
    toldFor = key;
  }
  const place = part("yard-told");
  const width = Math.round(place.clientWidth);
  const rem = parseFloat(getComputedStyle(document.documentElement).fontSize) || 16;
  const look = JSON.stringify([
    key,
    readUnits(),
    width,
    rem,
    open.draft.chosen,
    view.racks.map((rack, i) => [rackName(i), rack.verdict.kind]),
  ]);
  if (look === drawn || !width) return;
  drawn = look;
  put(place, "data-status", told.status);
  const said = (both) =>
    words.apart(
      text(both),
      plan.racks.map((rack) => rack.name ?? ""),
    );
  const lines = told.lines.map((line) =>
    h(
      "div",
      { class: "look", "data-look-for": line.name },
      h("dt", {}, line.label),
      h("dd", {}, h("p", { class: "what" }, said(line.text))),
      line.more.length ? h("dd", { class: "why" }, line.more.map(said).join(" ")) : null,
    ),
  );
  const racks = told.picture ? told.picture.racks : [];
  place.replaceChildren(
    ...(lines.length ? [h("dl", {}, lines)] : []),
    h(
      "figure",
      {},
      told.picture ? picture(told.picture, text(told.summary), width, rem) : null,
      h("figcaption", { id: "yard-summary" }, said(told.summary)),
      told.picture
        ? h(
            "ul",
            { class: "key" },
            h("li", {}, h("span", { class: "stroke" }), words.yard.most),
            told.picture.wanted === null ? null : h("li", {}, h("span", { class: "stroke ideal" }), words.yard.wanted),
            racks.map(([i]) =>
              h(
                "li",
                { class: i === open.draft.chosen ? "pick" : null, "data-point": String(i) },
                h("span", { class: "number" }, String(i + 1)),
                rackName(i),
                mark(view.racks[i].verdict.kind),
              ),
            ),
          )
        : null,
    ),
    ...told.notes.map((note) => h("p", { class: "note" }, said(note))),
  );
}

// ---- the picture: one unit of it is one pixel ----

function picture(given, sentence, width, rem) {
  // Large letters make the picture's larger only as far as it still has room for them: the sentences say the same.
  const size = Math.max(14, Math.min(0.875 * rem, width / 18));
  const [left, right, top, bottom] = [3.1 * size, 0.9 * size, 1.9 * size, 3.1 * size];
  const height = Math.round(Math.min(0.42 * width, 15 * rem) + bottom);
  const across = (mm) => left + ((mm - given.x[0]) / (given.x[1] - given.x[0])) * (width - left - right);
  const up = (deg) => height - bottom - ((deg - given.y[0]) / (given.y[1] - given.y[0])) * (height - bottom - top);
  const at = (mm, deg) => `${across(mm).toFixed(1)},${up(deg).toFixed(1)}`;
  const inch = readUnits() === "inch";
  const ticks = given.ticks[inch ? 1 : 0];
  const line = (name, x1, y1, x2, y2) => s("line", { class: name, x1, y1, x2, y2 });
  const note = (name, x, y, anchor, words_) => s("text", { class: name, x, y, "text-anchor": anchor }, words_);
  const [floor, first, last] = [height - bottom, left, width - right];
  const inside = given.most.filter(([, deg]) => deg >= given.y[0] && deg <= given.y[1]);
  const band = given.band;
  const middle = band[Math.floor(band.length / 2)];
  const room = middle && up(middle[1]) - up(middle[2]) > 1.6 * size;
  const svg = s(
    "svg",
    { class: "plot", viewBox: `0 0 ${width} ${height}`, width, height, role: "img", "aria-label": sentence },
    band.length
      ? s("polygon", {
          class: "band",
          points: [...band.map(([mm, , most]) => at(mm, most)), ...[...band].reverse().map(([mm, least]) => at(mm, least))].join(" "),
        })
      : null,
    given.rises.map(([deg, name]) => [
      line("grid", first, up(deg), last, up(deg)),
      note("tick", first - 0.5 * size, up(deg) + 0.35 * size, "end", name),
    ]),
    ticks.map(([mm, name]) => [
      line("grid", across(mm), floor, across(mm), floor + 0.35 * size),
      note("tick", across(mm), floor + 1.4 * size, "middle", name),
    ]),
    line("axis", first, floor, last, floor),
    note("name", 0, 0.95 * size, "start", given.axes[1]),
    note("name", last, height - 0.35 * size, "end", `${given.axes[0]}, ${words.yard.unit[readUnits()]}`),
    inside.length > 1 ? s("polyline", { class: "most", points: inside.map(([mm, deg]) => at(mm, deg)).join(" ") }) : null,
    given.wanted === null ? null : [line("wanted", first, up(given.wanted), last, up(given.wanted))],
    room ? note("inside", across(middle[0]), (up(middle[1]) + up(middle[2])) / 2 + 0.35 * size, "middle", words.yard.passes) : null,
    points(given.racks, across, up, size, width),
  );
  svg.style.fontSize = `${size}px`;
  return svg;
}

// A numbered disc a rack; one that would cover another stands beside its place, with a line to it.
function points(racks, across, up, size, width) {
  const radius = 0.85 * size;
  const placed = [];
  return racks.map(([i, mm, deg]) => {
    const [x, y] = [across(mm), up(deg)];
    let [px, py] = [x, y];
    for (let tries = 0; tries < 8 && placed.some(([a, b]) => Math.hypot(a - px, b - py) < 2.1 * radius); tries++) {
      px = px + 2.2 * radius > width - radius ? x : px + 2.2 * radius;
      if (px === x) py += 2.2 * radius;
    }
    placed.push([px, py]);
    return s(
      "g",
      { class: i === open.draft.chosen ? "point pick" : "point" },
      px !== x || py !== y ? [s("line", { x1: x, y1: y, x2: px, y2: py }), s("circle", { class: "spot", cx: x, cy: y, r: 3 })] : null,
      s("circle", { cx: px, cy: py, r: radius }),
      s("text", { x: px, y: py + 0.35 * size, "text-anchor": "middle" }, String(i + 1)),
    );
  });
}
