// The steering wheel on the page: one slider, two steps, a typed angle; and everything that follows it, in one frame.

import { axleDrawing } from "./axle.js";
import * as charts from "./charts.js";
import { Moving, Refused, Stopped } from "../../core.js";
import { h, hide, put, say } from "../../widgets/dom.js";
import { wholeDrawing } from "./whole.js";
import { rackName, text } from "../../state/state.js";
import { words } from "../../words.js";

const LOCKS = [
  ["left", 1],
  ["straight", 0],
  ["right", -1],
];
const FULL = 1000;

let axle = null; // the core's handle on the rack shown
let turn = null; // what holds for its whole turn
let refused = ""; // why there is no axle to turn
let key = "";
let share = 1; // of the usable travel: 1 with the steering wheel hard left
let at = null; // where the core says everything stands
let known = new Map(); // the same at both ends and straight ahead, asked for already
let unit = "deg";
let waiting = false;
let whole = false;
let drawings = null;
let box = null;

const part = (id) => document.getElementById(id);

/** Asks the core; nothing while it is being started again. */
function ask(...given) {
  try {
    return axle?.ask(...given);
  } catch (error) {
    if (error instanceof Stopped) return undefined;
    throw error;
  }
}

const busy = () => document.activeElement === box.input;

// ---- making the controls ----

function build() {
  drawings = { axle: axleDrawing(), whole: wholeDrawing() };
  part("whole").replaceChildren(drawings.whole.root);
  const w = words.turning.drive;
  const step = (name, by) =>
    h(
      "button",
      {
        type: "button",
        class: "step",
        "data-step": name,
        "aria-label": w.step[name],
        onclick: () => go(ask("stepped", share, by) ?? share),
      },
      w.arrow[name],
    );
  const range = h("input", {
    type: "range",
    id: "turn",
    min: String(-FULL),
    max: String(FULL),
    step: "any",
    value: String(-FULL),
    "aria-label": w.wheel,
    oninput: () => go(-Number(range.value) / FULL),
    onkeydown: keys,
  });
  const input = h("input", {
    type: "text",
    id: "turn-typed",
    inputmode: "decimal",
    enterkeyhint: "done",
    autocomplete: "off",
    spellcheck: "false",
    maxlength: "64",
    "aria-describedby": "turn-problem",
    oninput: () => typed(),
    onchange: () => typed(true),
    onblur: () => {
      if (!box.wrong) follow();
    },
    onkeydown: (event) => {
      if (event.key === "Enter") typed(true);
    },
  });
  const key = h("button", {
    type: "button",
    class: "unit",
    id: "turn-unit",
    onclick: () => {
      unit = unit === "deg" ? "turns" : "deg";
      box.wrong = false;
      follow(true);
    },
  });
  const side = (name) =>
    h("button", { type: "button", "data-turn": name, "aria-pressed": "false", onclick: () => typed(true, name) }, w.side[name]);
  const sides = h("div", { class: "pair sides", role: "group", "aria-label": w.which }, side("left"), side("right"));
  const typedRow = h("div", { class: "typed" }, h("label", { for: "turn-typed" }, w.wheel), sides, h("div", { class: "box" }, input, key));
  const problem = h("p", { class: "problem", id: "turn-problem", role: "status" });
  const why = h("p", { class: "sub" });
  part("drive").append(h("div", { class: "slide" }, step("left", 1), range, step("right", -1)), typedRow, problem, why);
  part("positions").append(
    ...LOCKS.map(([name, at]) =>
      h(
        "button",
        {
          type: "button",
          "data-lock": name,
          onclick: () => {
            go(at);
            frame();
          },
        },
        words.turning[name],
      ),
    ),
  );
  box = { range, input, key, sides, typedRow, problem, why, wrong: false };
}

// ---- turning it ----

/** Turns the steering wheel to a share of its travel; everything follows in the next frame. */
function go(to) {
  share = Math.max(-1, Math.min(1, to));
  box.wrong = false;
  later();
}

const STEPS = { ArrowLeft: 1, ArrowDown: 1, ArrowRight: -1, ArrowUp: -1, PageDown: 5, PageUp: -5 };

function keys(event) {
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  if (event.key === "Home") go(1);
  else if (event.key === "End") go(-1);
  else if (STEPS[event.key]) go(ask("stepped", share, STEPS[event.key]) ?? share);
  else return;
  event.preventDefault();
}

// What stands in the box turns the wheel as it is typed; it is complained of once it is left.
function typed(left = false, side) {
  const now = side ?? box.sides.querySelector("[aria-pressed=true]")?.dataset.turn ?? "left";
  for (const button of box.sides.children) put(button, "aria-pressed", String(button.dataset.turn === now));
  const [to, sentence] = ask("typed", box.input.value, unit, now) ?? [null, null];
  if (to !== null) {
    share = to;
    later();
  }
  box.wrong = left && sentence !== null;
  complain(box.wrong ? text(sentence) : "");
}

function complain(sentence) {
  say(box.problem, sentence);
  hide(box.problem, !sentence);
  put(box.input, "aria-invalid", sentence ? "true" : null);
}

// The box says where the wheel stands, unless somebody is typing in it.
function follow(always = false) {
  if (!at) return;
  say(box.key, words.turning.drive.unit[unit]);
  put(box.key, "aria-label", words.turning.drive.change[unit]);
  if (box.wrong || (busy() && !always)) return;
  complain("");
  const shown = at.hand_text?.[unit === "deg" ? 0 : 1] ?? "";
  if (box.input.value !== shown) box.input.value = shown;
  for (const button of box.sides.children) put(button, "aria-pressed", String(button.dataset.turn === at.turned));
}

function later() {
  if (waiting) return;
  waiting = true;
  requestAnimationFrame(() => {
    waiting = false;
    if (axle) frame();
  });
}

/** One frame: one question to the core, then attributes. */
function frame() {
  try {
    at = known.get(share) ?? ask("at", share);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    // A side without travel: the steering wheel goes straight, and the reason is said.
    complain(error.message);
    box.wrong = true;
    share = 0;
    at = ask("at", 0);
  }
  if (!at) return;
  const seen = at;
  drawings.axle.move(seen, turn);
  if (whole) drawings.whole.move(seen);
  const caption = text(seen.caption);
  say(part("axle-caption"), caption);
  say(part("meeting"), text(seen.meeting));
  put(drawings.axle.root, "aria-label", words.turning.drawing(rackName(shown), caption));
  put(box.range, "aria-valuetext", caption);
  const value = String(Math.round(-share * FULL));
  if (Math.round(Number(box.range.value)) !== Number(value)) box.range.value = value;
  for (const [k, button] of [...part("positions").children].entries()) put(button, "aria-pressed", String(LOCKS[k][1] === share));
  follow();
  charts.mark(seen);
}

// ---- another plan ----

let shown = 0;

/** Shows a rack of a plan, the steering wheel where it was. Answers with what holds for the whole turn, or nothing. */
export function paint(plan, i) {
  if (!drawings) build();
  shown = i;
  const now = JSON.stringify([plan, i]);
  if (now !== key) take(plan, i);
  key = now;
  for (const id of ["drive", "positions", "ends"]) hide(part(id), !axle);
  if (!axle) drawings.axle.root.remove();
  else if (!drawings.axle.root.isConnected) part("axle").append(drawings.axle.root);
  hide(part("whole-figure"), !axle || !whole);
  if (!axle) {
    say(part("axle-caption"), words.turning.noPlan(refused));
    charts.mark(null);
    return null;
  }
  const place = part("ends");
  const lines = turn.ends.map((end) => text(end.text));
  if (place.dataset.key !== lines.join("\n"))
    place.replaceChildren(...lines.map((sentence, n) => h("li", { "data-end": turn.ends[n].turned }, sentence)));
  place.dataset.key = lines.join("\n");
  hide(box.typedRow, turn.hand_why !== "");
  say(box.why, turn.hand_why ? words.turning.drive.noAngle(turn.hand_why) : "");
  hide(box.why, !turn.hand_why);
  frame();
  return turn;
}

function take(plan, i) {
  axle?.free();
  axle = null;
  try {
    const next = new Moving(plan, i);
    let why = "";
    const views = [1, 0, -1].map((at) => {
      try {
        return next.ask("at", at);
      } catch (error) {
        if (!(error instanceof Refused)) throw error;
        why ||= error.message;
        return null;
      }
    });
    // Without any travel there is nothing to turn.
    if (views.filter(Boolean).length < 2) throw new Refused(why);
    turn = next.ask("turn");
    known = new Map([1, 0, -1].map((at, n) => [at, views[n]]).filter(([, seen]) => seen));
    drawings.axle.fit(
      views.filter(Boolean).sort((a, b) => Math.abs(a.share) - Math.abs(b.share)),
      turn.backwards ? 42 : 0,
    );
    whole = drawings.whole.fit([views[0], views[2]], views[1].wheelbase);
    put(drawings.whole.root, "aria-label", words.turning.whole);
    axle = next;
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    refused = error.message;
  }
}
