// The steering wheel: a slider, two step buttons, a typed angle; and everything that moves with it, once a frame.

import { axleDrawing } from "./axle.js";
import * as charts from "./charts.js";
import { Moving, Refused, Stopped } from "../../core.js";
import { byId, find, findAll, h, setHidden, updateAttribute, setText } from "../../widgets/dom.js";
import { wholeDrawing } from "./whole.js";
import { rackName, text } from "../../state/state.js";
import { words } from "../../words.js";

/** @import { Axle } from "../../../types/donorack" */
/** @import { AxleDrawing, TurnView } from "../../../types/core" */
/** @import { Plan } from "../../../types/page" */
/** @typedef {{ axle: ReturnType<typeof axleDrawing>, whole: ReturnType<typeof wholeDrawing> }} Drawings */
/** @typedef {{ range: HTMLInputElement, input: HTMLInputElement, key: HTMLElement, sides: HTMLElement, typedRow: HTMLElement, problem: HTMLElement, why: HTMLElement, wrong: boolean }} Controls */

const LOCKS = /** @type {const} */ ([
  ["left", 1],
  ["straight", 0],
  ["right", -1],
]);
const FULL = 1000;

/** @type {Moving | null} */
let axle = null; // the axle of the rack shown, in the core
/** @type {TurnView | null} */
let turn = null; // its view from lock to lock
let refusal = ""; // why there is no axle
let key = "";
let share = 1; // of the usable travel: 1 with the steering wheel hard left
/** @type {AxleDrawing | null} */
let position = null; // the axle at `share`
/** @type {Map<number, AxleDrawing>} */
let lockDrawings = new Map(); // the axle at both locks and straight ahead, by share
/** @type {"deg" | "turns"} */
let unit = "deg";
let waiting = false;
let wholeFits = false;
/** @type {{ drawings: Drawings, box: Controls } | null} */
let built = null;
/** Drawings and controls, made at the first call. */
const elements = () => (built ??= build());

/**
 * Asks the core; nothing while it is being started again.
 * @template T
 * @param {(axle: Axle) => T} question
 */
function ask(question) {
  try {
    return axle?.ask(question);
  } catch (error) {
    if (error instanceof Stopped) return undefined;
    throw error;
  }
}

const isTyping = () => document.activeElement === elements().box.input;

// ---- making the controls ----

/** @type {() => { drawings: Drawings, box: Controls }} */
function build() {
  const drawings = { axle: axleDrawing(), whole: wholeDrawing() };
  byId("whole").replaceChildren(drawings.whole.root);
  const w = words.turning.drive;
  /** @type {(name: "left" | "right", by: number) => HTMLElement} */
  const step = (name, by) =>
    h(
      "button",
      {
        type: "button",
        class: "step",
        "data-step": name,
        "aria-label": w.step[name],
        onclick: () => turnTo(ask((axle) => axle.stepped(share, by)) ?? share),
      },
      w.arrow[name],
    );
  const range = h("input", {
    type: "range",
    id: "turn",
    class: "range",
    min: String(-FULL),
    max: String(FULL),
    step: "any",
    value: String(-FULL),
    "aria-label": w.wheel,
    oninput: () => turnTo(-Number(range.value) / FULL),
    onkeydown: onKey,
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
    oninput: () => readTyped(),
    onchange: () => readTyped(true),
    onblur: () => {
      if (!box.wrong) updateControls();
    },
    onkeydown: (event) => {
      if (event.key === "Enter") readTyped(true);
    },
  });
  const key = h("button", {
    type: "button",
    class: "unit",
    id: "turn-unit",
    onclick: () => {
      unit = unit === "deg" ? "turns" : "deg";
      box.wrong = false;
      updateControls(true);
    },
  });
  /** @type {(name: "left" | "right") => HTMLElement} */
  const side = (name) =>
    h("button", { type: "button", "data-turn": name, "aria-pressed": "false", onclick: () => readTyped(true, name) }, w.side[name]);
  const sides = h("div", { class: "pair sides", role: "group", "aria-label": w.which }, side("left"), side("right"));
  const typedRow = h("div", { class: "typed" }, h("label", { for: "turn-typed" }, w.wheel), sides, h("div", { class: "box" }, input, key));
  const problem = h("p", { class: "problem", id: "turn-problem", role: "status" });
  const why = h("p", { class: "sub" });
  byId("drive").append(h("div", { class: "slide" }, step("left", 1), range, step("right", -1)), typedRow, problem, why);
  byId("positions").append(
    ...LOCKS.map(([name, at]) =>
      h(
        "button",
        {
          type: "button",
          "data-lock": name,
          onclick: () => {
            turnTo(at);
            drawFrame();
          },
        },
        words.turning[name],
      ),
    ),
  );
  /** @type {Controls} */
  const box = { range, input, key, sides, typedRow, problem, why, wrong: false };
  return { drawings, box };
}

// ---- turning the steering wheel ----

/**
 * Turns the steering wheel to a share of its travel; everything follows in the next frame.
 * @type {(to: number) => void}
 */
function turnTo(to) {
  share = Math.max(-1, Math.min(1, to));
  elements().box.wrong = false;
  drawSoon();
}

/** @type {Record<string, number>} */
const STEPS = { ArrowLeft: 1, ArrowDown: 1, ArrowRight: -1, ArrowUp: -1, PageDown: 5, PageUp: -5 };

/** @type {(event: KeyboardEvent) => void} */
function onKey(event) {
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  if (event.key === "Home") turnTo(1);
  else if (event.key === "End") turnTo(-1);
  else if (STEPS[event.key]) turnTo(ask((axle) => axle.stepped(share, STEPS[event.key])) ?? share);
  else return;
  event.preventDefault();
}

// The typed angle turns the wheel at every keystroke; what is wrong with it is shown once the field is left.
/** @type {(left?: boolean, side?: string) => void} */
function readTyped(left = false, side) {
  const { box } = elements();
  const now = side ?? find("[aria-pressed=true]", box.sides)?.dataset.turn ?? "left";
  for (const button of findAll("button", box.sides)) updateAttribute(button, "aria-pressed", String(button.dataset.turn === now));
  const [to, sentence] = ask((axle) => axle.typed(box.input.value, unit, now)) ?? [null, null];
  if (to !== null) {
    share = to;
    drawSoon();
  }
  box.wrong = left && sentence !== null;
  showProblem(box.wrong ? text(sentence) : "");
}

/** @type {(sentence: string) => void} */
function showProblem(sentence) {
  const { box } = elements();
  setText(box.problem, sentence);
  setHidden(box.problem, !sentence);
  updateAttribute(box.input, "aria-invalid", sentence ? "true" : null);
}

// The field shows the wheel's angle, unless somebody is typing in it.
/** @type {(always?: boolean) => void} */
function updateControls(always = false) {
  if (!position) return;
  const { turned } = position;
  const { box } = elements();
  setText(box.key, words.turning.drive.unit[unit]);
  updateAttribute(box.key, "aria-label", words.turning.drive.change[unit]);
  if (box.wrong || (isTyping() && !always)) return;
  showProblem("");
  const shown = position.hand_text?.[unit === "deg" ? 0 : 1] ?? "";
  if (box.input.value !== shown) box.input.value = shown;
  for (const button of findAll("button", box.sides)) updateAttribute(button, "aria-pressed", String(button.dataset.turn === turned));
}

function drawSoon() {
  if (waiting) return;
  waiting = true;
  requestAnimationFrame(() => {
    waiting = false;
    if (axle) drawFrame();
  });
}

/** One frame: one question to the core, then attributes. */
function drawFrame() {
  const { drawings, box } = elements();
  try {
    position = lockDrawings.get(share) ?? ask((axle) => axle.at(share)) ?? null;
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    // A side without travel: the steering wheel goes back to straight ahead, and the reason is shown.
    showProblem(error.message);
    box.wrong = true;
    share = 0;
    position = ask((axle) => axle.at(0)) ?? null;
  }
  if (!position || !turn) return;
  const seen = position;
  drawings.axle.move(seen, turn);
  if (wholeFits) drawings.whole.move(seen);
  const caption = text(seen.caption);
  setText(byId("axle-caption"), caption);
  setText(byId("meeting"), text(seen.meeting));
  updateAttribute(drawings.axle.root, "aria-label", words.turning.drawing(rackName(shownRack), caption));
  updateAttribute(box.range, "aria-valuetext", caption);
  const value = String(Math.round(-share * FULL));
  if (Math.round(Number(box.range.value)) !== Number(value)) box.range.value = value;
  for (const [k, button] of [...byId("positions").children].entries())
    updateAttribute(button, "aria-pressed", String(LOCKS[k][1] === share));
  updateControls();
  charts.mark(seen);
}

// ---- another plan ----

let shownRack = 0;

/**
 * Shows a rack of a plan at the steering wheel's angle. Returns its view from lock to lock, or `null` where there is no axle.
 * @type {(plan: Plan, i: number) => TurnView | null}
 */
export function paint(plan, i) {
  const { drawings, box } = elements();
  shownRack = i;
  const now = JSON.stringify([plan, i]);
  if (now !== key) openRack(plan, i);
  key = now;
  for (const id of ["drive", "positions", "ends"]) setHidden(byId(id), !axle);
  if (!axle) drawings.axle.root.remove();
  else if (!drawings.axle.root.isConnected) byId("axle").append(drawings.axle.root);
  setHidden(byId("whole-figure"), !axle || !wholeFits);
  if (!axle || !turn) {
    setText(byId("axle-caption"), words.turning.noPlan(refusal));
    charts.mark(null);
    return null;
  }
  const place = byId("ends");
  const { ends } = turn;
  const lines = ends.map((end) => text(end.text));
  if (place.dataset.key !== lines.join("\n"))
    place.replaceChildren(...lines.map((sentence, n) => h("li", { "data-end": ends[n].turned }, sentence)));
  place.dataset.key = lines.join("\n");
  setHidden(box.typedRow, turn.hand_why !== "");
  setText(box.why, turn.hand_why ? words.turning.drive.noAngle(turn.hand_why) : "");
  setHidden(box.why, !turn.hand_why);
  drawFrame();
  return turn;
}

/** @type {(plan: Plan, i: number) => void} */
function openRack(plan, i) {
  const { drawings } = elements();
  axle?.free();
  axle = null;
  try {
    const next = new Moving(plan, i);
    let why = "";
    const views = [1, 0, -1].map((at) => {
      try {
        return next.ask((axle) => axle.at(at));
      } catch (error) {
        if (!(error instanceof Refused)) throw error;
        why ||= error.message;
        return null;
      }
    });
    // Without any travel there is nothing to turn.
    const seen = views.filter((view) => view !== null);
    if (seen.length < 2) throw new Refused(why);
    turn = next.ask((axle) => axle.turn());
    lockDrawings = new Map();
    for (const [n, share] of [1, 0, -1].entries()) {
      const view = views[n];
      if (view) lockDrawings.set(share, view);
    }
    drawings.axle.fit(
      seen.sort((a, b) => Math.abs(a.share) - Math.abs(b.share)),
      turn.backwards ? 42 : 0,
    );
    wholeFits = drawings.whole.fit([views[0], views[2]], views[1]?.wheelbase);
    updateAttribute(drawings.whole.root, "aria-label", words.turning.whole);
    axle = next;
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    refusal = error.message;
  }
}
