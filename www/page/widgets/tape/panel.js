// The drawing and the steps of the field that has the focus: they stand in that field, above its number.

import { h, s, say } from "../dom.js";
import { sideOf } from "../fields.js";
import { parse, readUnits, spec } from "../../state/plan.js";
import { words } from "../../words.js";
import { steady } from "../reach.js";
import { car, whole } from "./car.js";
import { rack } from "./rack.js";

const SIGNS = { ahead: 1, behind: -1, inboard: 1, outboard: -1, left: 1, right: -1, above: 1, below: -1 };
let panel = null;

// The side that a field shows, carried over or chosen; 0 when there is none.
const side = (path) => SIGNS[sideOf(path)] ?? 0;
const first = (...paths) => paths.map(side).find(Boolean) ?? 0;

/** What the answers given so far make of the drawing. Where nothing is answered, the commonest arrangement is drawn. */
function answers(path) {
  const { section, name, rack: n } = parse(path);
  const here = `racks.${n ?? 0}`;
  const right = section === "car" && name.startsWith("right");
  return {
    fore:
      first(
        ...(right ? ["car.right_arm_fore_aft"] : name === "arm_length" ? ["car.arm_length"] : []),
        "car.arm_fore_aft",
        "car.arm_length",
      ) || -1,
    inboard:
      (name === "scrub_radius"
        ? side(path)
        : first(
            ...(right ? ["car.right_arm_inboard"] : name === "arm_angle" ? ["car.arm_angle"] : []),
            "car.arm_inboard",
            "car.arm_angle",
          )) || 1,
    rack: first(`${here}.rack_line`, "racks.0.rack_line") || -1,
    bar: section === "rack" && name === "bar_moves" ? -side(path) : 0,
    off: side(`${here}.offset`) || 1,
    high: side(`${here}.height`) || 1,
  };
}

// A group that stands mirrored, or a part as it is.
const made = (part) => (part.flip ? s("g", { transform: "translate(340) scale(-1 1)" }, part.flip) : part);

/** A drawing in its frame. */
export const framed = (name, parts, high = 136) =>
  s("svg", { viewBox: `0 0 340 ${high}`, role: "img", "aria-label": name, class: "tape-drawing" }, parts.flat(9).filter(Boolean).map(made));

function drawing(path) {
  const { section, name } = parse(path);
  const row = spec(path);
  return framed(words.tape.drawing(row.label, sideOf(path)), [(section === "car" ? car : rack)[name](answers(path))]);
}

/** Whether there is a drawing for a field. */
export const drawn = (path) =>
  Boolean(path) && parse(path).section !== "limits" && `${parse(path).section}.${parse(path).name}` in words.tape.how;

/** Lays the drawing into the field `root`; `held` is what must not move meanwhile. */
export function lay(path, root, held) {
  if (panel?.path === path && root.contains(panel.node)) return;
  steady(held ?? root, () => {
    away();
    if (!drawn(path)) return;
    const { section, name } = parse(path);
    const usual = h("p", { class: "usual" });
    const steps = words.tape.how[`${section}.${name}`].map((step) => h("li", {}, step));
    panel = {
      path,
      usual,
      key: "",
      node: h(
        "figure",
        { class: "tape-panel", "data-tape": path },
        h("figcaption", {}, h("ol", { "aria-label": words.tape.steps }, steps)),
        h("div"),
      ),
    };
    root.prepend(panel.node);
    root.querySelector(".under").after(usual);
    follow();
  });
}

/** Takes the drawing away. */
export function away() {
  panel?.node.remove();
  panel?.usual.remove();
  panel = null;
}

/** Lets the drawing follow the answers. */
export function follow() {
  paintOverview();
  if (!panel?.node.isConnected) return;
  const { pm } = spec(panel.path);
  say(panel.usual, pm[readUnits()] ? words.tape.usual(pm[readUnits()]) : "");
  const key = JSON.stringify([answers(panel.path), side(panel.path)]);
  if (panel.key === key) return;
  panel.key = key;
  panel.node.lastElementChild.replaceChildren(drawing(panel.path));
}

/** The front axle from above with every tape that a first verdict needs there: for the head of the form. */
export const overview = () => h("div", { class: "overview" });

/** Lets the overview follow the answers. */
function paintOverview() {
  const place = document.querySelector(".overview");
  if (!place) return;
  const key = JSON.stringify(answers("car.arm_fore_aft"));
  if (place.dataset.key === key) return;
  place.dataset.key = key;
  place.replaceChildren(framed(words.tape.overview, whole(answers("car.arm_fore_aft")), 170));
}

/** A drawing with its steps, for what is not one field's. */
export const shown = (name, parts, steps) => [
  h("figure", { class: "tape-panel lit" }, framed(name, parts)),
  h(
    "ol",
    {},
    steps.map((step) => h("li", {}, step)),
  ),
];
