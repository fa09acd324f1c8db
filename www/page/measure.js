// Where the tape goes: the left front corner from above, with the tape on what is being measured.

import { s } from "./dom.js";
import { words } from "./words.js";

const TAPES = {
  "car.arm_fore_aft": { band: [196, 64, 16, 62], vertical: true, label: [219, 92, "fore and aft", "from axis to rod end"], lines: ["M112 64H196", "M140 126H196"] },
  "car.arm_inboard": { band: [104, 140, 28, 16], vertical: false, label: [140, 153, "inboard", "from axis to rod end"], lines: ["M104 72V140", "M132 133V140"] },
  rack_line: { band: [226, 126, 16, 36], vertical: true, label: [249, 140, "rack line", "from the rod ends’ line"], lines: ["M140 126H226", "M242 162H226"] },
};

/** The drawing; the tape lies on e until another field has the focus. */
export function corner() {
  const ink = (x1, y1, x2, y2, kind) => s("line", { x1, y1, x2, y2, class: kind });
  const joint = (cx, cy) => s("circle", { cx, cy, r: 6, class: "joint" });
  return s("svg", { viewBox: "0 0 360 190", role: "img", "aria-label": words.car.drawing, class: "corner" },
    s("text", { x: 37, y: 14, "text-anchor": "middle" }, words.turning.front), s("path", { d: "M60 16V4m-4 5 4-5 4 5", class: "dim" }),
    s("path", { d: "M104 24V176", class: "centre" }),
    s("rect", { x: 20, y: 22, width: 36, height: 84, rx: 8, class: "tyre" }),
    ink(56, 64, 104, 64, "stub"), ink(104, 64, 132, 126, "arm"), ink(132, 126, 262, 162, "rod"),
    ink(262, 162, 350, 162, "bar"), s("rect", { x: 286, y: 154, width: 70, height: 16, rx: 8, class: "housing" }),
    joint(104, 64), joint(132, 126), joint(262, 162),
    Object.entries(TAPES).map(([key, tape]) => tapeOn(key, tape)));
}

function tapeOn(key, { band, vertical, label, lines }) {
  const [x, y, width, height] = band;
  const ticks = [];
  for (let at = 8; at < (vertical ? height : width) - 2; at += 8) ticks.push(vertical ? `M${x} ${y + at}h${at % 16 ? 5 : 8}` : `M${x + at} ${y}v${at % 16 ? 5 : 8}`);
  return s("g", { class: "tape", "data-tape": key },
    lines.map((d) => s("path", { d, class: "dim dash" })), s("rect", { x, y, width, height, class: "band" }), s("path", { d: ticks.join(""), class: "ticks" }),
    s("text", { x: label[0], y: label[1], class: "strong" }, label[2]), s("text", { x: label[0], y: label[1] + 17 }, label[3]));
}

/** Lays the tape on the field that has the focus. */
export function light(path) {
  const key = path?.endsWith(".rack_line") ? "rack_line" : path;
  const to = key in TAPES ? key : "car.arm_fore_aft";
  for (const tape of document.querySelectorAll("[data-tape]")) tape.classList.toggle("on", tape.dataset.tape === to);
}
