// Drawing and steps of the focused field: shown in that field, above its number.

import { find, h, s, setText } from "../dom.js";
import { sideOf } from "../fields.js";
import { fieldOf, parse } from "../../state/draft.js";
import { readUnits } from "../../state/units.js";
import { words } from "../../words.js";
import { keepInPlace } from "../reach.js";
import { car, frontAxle } from "./car.js";
import { rack } from "./rack.js";

/** @import { Answers, Mirrored, Piece } from "../../../types/page" */

/** @type {Record<string, number>} */
const SIGNS = { ahead: 1, behind: -1, inboard: 1, outboard: -1, left: 1, right: -1, above: 1, below: -1 };
/** @type {{ path: string, usual: HTMLElement, key: string, node: HTMLElement } | null} */
let panel = null;

// The sign of the side that a field shows, chosen or carried over; 0 for none.
/** @type {(path: string) => number} */
const side = (path) => SIGNS[sideOf(path)] ?? 0;
/** @type {(...paths: string[]) => number} */
const firstSide = (...paths) => paths.map(side).find(Boolean) ?? 0;

/**
 * The signs that the drawing follows, from the answers given so far; for what is not answered, the commonest arrangement.
 * @type {(path: string) => Answers}
 */
function answers(path) {
  const { section, name, rack: n } = parse(path);
  const here = `racks.${n ?? 0}`;
  const right = section === "car" && name.startsWith("right");
  return {
    fore:
      firstSide(
        ...(right ? ["car.right_arm_fore_aft"] : name === "arm_length" ? ["car.arm_length"] : []),
        "car.arm_fore_aft",
        "car.arm_length",
      ) || -1,
    inboard:
      (name === "scrub_radius"
        ? side(path)
        : firstSide(
            ...(right ? ["car.right_arm_inboard"] : name === "arm_angle" ? ["car.arm_angle"] : []),
            "car.arm_inboard",
            "car.arm_angle",
          )) || 1,
    rack: firstSide(`${here}.rack_line`, "racks.0.rack_line") || -1,
    bar: section === "rack" && name === "bar_moves" ? -side(path) : 0,
    off: side(`${here}.offset`) || 1,
    high: side(`${here}.height`) || 1,
  };
}

// The elements of a piece: mirrored left for right in a group, or as they are.
/** @type {(part: SVGElement | Mirrored) => SVGElement} */
const mirrored = (part) => ("flip" in part ? s("g", { transform: "translate(340) scale(-1 1)" }, part.flip) : part);

/** @type {(parts: Piece[]) => (SVGElement | Mirrored)[]} */
const flat = (parts) => parts.flatMap((part) => (Array.isArray(part) ? flat(part) : (part ?? [])));

/**
 * A drawing: an SVG element with a label, made of pieces.
 * @type {(name: string, parts: Piece[], high?: number) => SVGSVGElement}
 */
export const inFrame = (name, parts, high = 136) =>
  s("svg", { viewBox: `0 0 340 ${high}`, role: "img", "aria-label": name, class: "tape-drawing" }, flat(parts).map(mirrored));

/** @type {(path: string) => SVGSVGElement} */
function drawing(path) {
  const { section, name } = parse(path);
  const row = fieldOf(path);
  return inFrame(words.tape.drawing(row.label, sideOf(path)), [(section === "car" ? car : rack)[name](answers(path))]);
}

/**
 * Whether there is a drawing for a field.
 * @type {(path: string) => boolean}
 */
export const hasDrawing = (path) =>
  Boolean(path) && parse(path).section !== "limits" && `${parse(path).section}.${parse(path).name}` in words.tape.how;

/**
 * Shows the drawing in the field `root`; `held` is what must not move on the screen meanwhile.
 * @type {(path: string, root: HTMLElement, held?: HTMLElement | null) => void}
 */
export function show(path, root, held) {
  if (panel?.path === path && root.contains(panel.node)) return;
  keepInPlace(held ?? root, () => {
    remove();
    if (!hasDrawing(path)) return;
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
    root.querySelector(".under")?.after(usual);
    update();
  });
}

/** Takes the drawing away. */
export function remove() {
  panel?.node.remove();
  panel?.usual.remove();
  panel = null;
}

/** Lets the drawing follow the answers. */
export function update() {
  paintOverview();
  if (!panel?.node.isConnected) return;
  const { pm } = fieldOf(panel.path);
  setText(panel.usual, pm[readUnits()] ? words.tape.usual(pm[readUnits()]) : "");
  const key = JSON.stringify([answers(panel.path), side(panel.path)]);
  if (panel.key === key) return;
  panel.key = key;
  panel.node.lastElementChild?.replaceChildren(drawing(panel.path));
}

/** The front axle from above with every tape that a first verdict needs there: for the head of the form. */
export const overview = () => h("div", { class: "overview" });

/** Lets the overview follow the answers. */
function paintOverview() {
  const place = find(".overview");
  if (!place) return;
  const key = JSON.stringify(answers("car.arm_fore_aft"));
  if (place.dataset.key === key) return;
  place.dataset.key = key;
  place.replaceChildren(inFrame(words.tape.overview, frontAxle(answers("car.arm_fore_aft")), 170));
}

/**
 * A drawing with its steps that belongs to no field.
 * @type {(name: string, parts: Piece[], steps: string[]) => HTMLElement[]}
 */
export const withSteps = (name, parts, steps) => [
  h("figure", { class: "tape-panel lit" }, inFrame(name, parts)),
  h(
    "ol",
    {},
    steps.map((step) => h("li", {}, step)),
  ),
];
