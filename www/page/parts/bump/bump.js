// Bump steer: what is wrong and what mends it, the corner that goes up and down under a slider, toe against travel. Every figure and sentence comes from
// the core.

import { Refused, Stopped, corner, drawBumpSteer, overBumps, typedTravel } from "../../core.js";
import { open } from "../../state/plan.js";
import { readUnits } from "../../state/units.js";
import { act, rackName, state, text } from "../../state/state.js";
import { Chart, table } from "../../widgets/chart.js";
import { byId, findAll, h, setHidden, setText, updateAttribute } from "../../widgets/dom.js";
import { html, mark, render, renderKeepingFocus } from "../../widgets/html.js";
import { words } from "../../words.js";
import * as parts from "../parts.js";
import { worst } from "../results.js";
import { cornerDrawing } from "./corner.js";

/** @import { BumpView, CornerDrawing, Cure, Finding, RackView } from "../../../types/core" */
/** @import { Plan } from "../../../types/page" */
/** @typedef {{ range: HTMLInputElement, input: HTMLInputElement, unit: HTMLElement, ways: HTMLElement, problem: HTMLElement, steer: HTMLInputElement, rack: HTMLElement }} Controls */

const w = words.bump;
const FULL = 1000;

/** @type {Plan | null} */
let plan = null;
let side = 0; // of the wheel that is shown: 0 left
let travel = 30; // of that wheel, mm, up positive
let share = 0; // of the rack's travel: 1 hard left
let key = "";
/** @type {BumpView | null} */
let view = null;
/** @type {number[] | null} */
let better = null; // the inner joint, where it had better be
let off = "";
let waiting = false;
let wrong = false;

/** @type {{ drawing: ReturnType<typeof cornerDrawing>, box: Controls } | null} */
let built = null;
const elements = () => (built ??= build());
const chart = new Chart("over-bumps", drawBumpSteer, () => w.chart[readUnits()], { steep: 0.86 });

/** @type {(rack: RackView) => (Cure & { set: NonNullable<Cure["set"]> }) | undefined} */
const mend = (rack) =>
  rack.findings
    .filter((f) => f.name === "bump_steer")
    .flatMap((f) => f.cures)
    .flatMap((cure) => (cure.set ? [{ ...cure, set: cure.set }] : []))[0];

/**
 * Shows the chosen rack over bumps; while somebody types, only if it is seen beside what is typed.
 * @type {(typing: boolean) => void}
 */
export function paint(typing) {
  const rack = state.shown?.racks[open.draft.chosen];
  if (!rack || !state.shownPlan || !parts.inFront("bump") || (typing && !parts.isWide())) return;
  plan = state.shownPlan;
  setText(byId("bump-sub"), w.on(rackName(open.draft.chosen)));
  const found = worst(rack, ["bump_steer"]) ?? rack.findings.find((f) => f.name === "bump_steer" && f.value !== null);
  const cure = mend(rack);
  setHidden(byId("bump-verdict"), !found);
  if (found) renderKeepingFocus(verdict(found, rack, cure), byId("bump-verdict"));
  curves(cure);
}

/** @type {(found: Finding, rack: RackView, cure: ReturnType<typeof mend>) => unknown} */
function verdict(found, rack, cure) {
  const then = act.wasSet();
  const remedy = cure ? "" : text(found.remedy);
  return html`
    <div class="find verdict">
      ${mark(found.kind)}
      <div>
        <p class="sentence" id="bump-says" data-kind=${found.kind}>${text(found.title)}</p>
        <p class="rest">${text(found.reason)}</p>
        ${remedy ? html`<p class="rest">${remedy}</p>` : null}
        ${found.origin ? html`<p class="rest">${w.origin}: ${found.origin}</p>` : null}
      </div>
    </div>
    ${cure ? mendCard(cure) : null}
    ${
      then
        ? html`
          <div class="mend">
            <p class="sentence">${w.set(then)}</p>
            <p class="rest">${w.setSub}</p>
            <div class="buttons">
              <button type="button" class="strong" id="bump-back" data-focus="bump-mend" ?disabled=${open.mode === "friend"} @click=${() => act.putBack()}>
                ${w.put}
              </button>
            </div>
          </div>
        `
        : null
    }
  `;
}

/** @type {(cure: NonNullable<ReturnType<typeof mend>>) => unknown} */
function mendCard({ change, set, text: both }) {
  const said = text(both);
  // What to do, then what comes of it.
  const [what, ...rest] = said.split(": ");
  return html`
    <div class="mend">
      <p class="sentence">${what.charAt(0).toUpperCase()}${what.slice(1)}${rest.length ? ":" : "."}</p>
      ${rest.length ? html`<p class="rest">${rest.join(": ")}.</p>` : null}
      <div class="buttons">
        <button
          type="button"
          class="strong"
          id="bump-mend"
          data-focus="bump-mend"
          ?disabled=${open.mode === "friend"}
          @click=${() => act.setRack({ [change[0].field]: text(set.typed) }, text(set.place))}
        >
          ${text(set.button)}
        </button>
      </div>
    </div>
  `;
}

// ---- the curves ----

/** @type {{ mended: BumpView["wheels"], place: Cure["text"] | null }} */
let curve = { mended: [], place: null };

/** @type {(cure: ReturnType<typeof mend>) => void} */
function curves(cure) {
  const i = open.draft.chosen;
  if (!plan) return;
  const now = JSON.stringify([plan, i, side, share, cure?.set.typed]);
  if (now !== key) {
    const mended = cure ? withReading(plan, i, cure.change[0].field, cure.set.typed.mm) : null;
    curve = { mended: mended ? overBumps(mended, i, share).wheels : [], place: cure?.set.place ?? null };
    better = mended && (standing(mended, 0)?.rod[1] ?? null);
    view = overBumps(plan, i, share);
    const still = standing(plan, 0);
    if (still) elements().drawing.fit(still, view.band);
  }
  key = now;
  off = text(cure?.set.off);
  paintCurve();
  drawFrame();
}

/** @type {(plan: Plan, i: number, field: string, typed: string) => Plan} */
const withReading = (plan, i, field, typed) => ({
  ...plan,
  racks: plan.racks?.map((rack, k) => (k === i ? { ...rack, [field]: typed } : rack)),
});

// How the corner shown stands with its wheel so far up; nothing, and the reason beneath the slider, where it does not get there.
/** @type {(plan: Plan, up: number) => CornerDrawing | null} */
function standing(plan, up) {
  try {
    return corner(plan, open.draft.chosen, side, up, share);
  } catch (error) {
    if (error instanceof Stopped) return null;
    if (!(error instanceof Refused)) throw error;
    said(error.message);
    return null;
  }
}

function paintCurve() {
  const { box } = elements();
  if (!view) return;
  const { wheels, why, band, limit } = view;
  const wheel = wheels[side];
  chart.show(
    wheel
      ? {
          toe: wheel.toe,
          other: share === 0 ? [] : wheels[1 - side].toe,
          mended: curve.mended[side]?.toe ?? [],
          band,
          limit,
          inch: readUnits() === "inch",
        }
      : null,
    why || w.none,
  );
  /** @type {(kind: string, word: string) => unknown} */
  const line = (kind, word) => html`<li><span class=${`stroke ${kind}`} aria-hidden="true"></span>${word}</li>`;
  render(
    [
      line("left", w.key.left),
      curve.place ? line("ideal", text(curve.place)) : null,
      share === 0 ? null : line("parallel", w.key.right),
      limit === null ? null : line("limit-box", w.key.box),
    ],
    byId("bump-key"),
  );
  setHidden(byId("bump-key"), !wheel);
  setText(byId("over-bumps-summary"), wheel ? text(wheel.summary) : "");
  updateAttribute(byId("over-bumps"), "aria-label", wheel ? `${w.title}. ${text(wheel.summary)}` : w.title);
  if (wheel)
    table(
      "bump-table",
      w.columns,
      wheel.table.map((row) => row.map(text)),
    );
  setText(box.rack, text(view.rack_text));
  for (const [n, button] of findAll("[data-wheel]").entries()) updateAttribute(button, "aria-pressed", String(n === side));
  for (const button of findAll("[data-steer]")) updateAttribute(button, "aria-pressed", String(Number(button.dataset.steer) === share));
  if (Number(box.steer.value) !== -share * FULL) box.steer.value = String(-share * FULL);
}

// ---- the slider, the steps, the typed number: one value ----

const metric = () => readUnits() === "mm";
/** How far a step goes, mm. */
const STEP = () => (metric() ? 5 : 25.4 / 4);

/** @type {() => { drawing: ReturnType<typeof cornerDrawing>, box: Controls }} */
function build() {
  const drawing = cornerDrawing();
  byId("corner").append(drawing.root);
  /** @type {(n: 0 | 1) => HTMLElement} */
  const step = (n) =>
    h(
      "button",
      { type: "button", class: "step", "data-bump-step": n ? "up" : "down", "aria-label": w.steps[n], onclick: () => stepBy(n ? 1 : -1) },
      n ? "↑" : "↓",
    );
  const range = h("input", {
    type: "range",
    class: "range",
    id: "bump-travel",
    min: String(-FULL),
    max: String(FULL),
    step: "any",
    value: "0",
    "aria-label": w.slider,
    oninput: () => goTo((Number(range.value) / FULL) * (view?.band ?? 0)),
    onkeydown: onKey,
  });
  const input = h("input", {
    type: "text",
    id: "bump-typed",
    inputmode: "decimal",
    enterkeyhint: "done",
    autocomplete: "off",
    maxlength: "64",
    "aria-describedby": "bump-problem",
    oninput: () => readTyped(false),
    onchange: () => readTyped(true),
    onblur: () => wrong || updateControls(),
    onkeydown: (event) => event.key === "Enter" && readTyped(true),
  });
  /** @type {(name: string) => HTMLElement} */
  const way = (name) =>
    h("button", { type: "button", "data-way": name, "aria-pressed": "false", onclick: () => readTyped(true, name) }, name);
  const ways = h("div", { class: "pair sides", role: "group", "aria-label": w.way }, w.ways.map(way));
  const unit = h("span", { class: "unit" });
  const problem = h("p", { class: "problem", id: "bump-problem", role: "status", hidden: true });
  byId("bump-drive").append(
    h("div", { class: "slide" }, step(0), range, step(1)),
    h("div", { class: "typed" }, h("label", { for: "bump-typed" }, w.wheel), ways, h("div", { class: "box" }, input, unit)),
    problem,
  );
  const steer = h("input", {
    type: "range",
    class: "range",
    id: "bump-share",
    min: String(-FULL),
    max: String(FULL),
    step: "20",
    value: "0",
    "aria-label": w.steer,
    oninput: () => steerTo(-Number(steer.value) / FULL),
  });
  const rack = h("p", { class: "sub", id: "bump-rack" });
  byId("bump-steer").append(
    h(
      "div",
      { class: "pair thirds", role: "group", "aria-label": w.which },
      w.wheels.map((name, n) =>
        h(
          "button",
          {
            type: "button",
            "data-wheel": String(n),
            onclick: () => {
              side = n;
              curvesAgain();
            },
          },
          name,
        ),
      ),
    ),
    h(
      "div",
      { class: "pair thirds", role: "group", "aria-label": w.steer },
      w.places.map((name, n) => h("button", { type: "button", "data-steer": String(1 - n), onclick: () => steerTo(1 - n) }, name)),
    ),
    steer,
    rack,
  );
  return { drawing, box: { range, input, unit, ways, problem, steer, rack } };
}

/** @type {(to: number) => void} */
function steerTo(to) {
  share = to === 0 ? 0 : to;
  curvesAgain();
}

function curvesAgain() {
  const rack = state.shown?.racks[open.draft.chosen];
  if (rack) soon(() => curves(mend(rack)));
}

/** @type {(to: number) => void} */
function goTo(to) {
  travel = to;
  wrong = false;
  soon(drawFrame);
}

/** @type {(by: number) => void} */
const stepBy = (by) => {
  const step = STEP();
  const band = view?.band ?? 0;
  goTo(Math.max(-band, Math.min(band, (Math.round(travel / step) + by) * step)));
};

/** @type {Record<string, number>} */
const STEPS = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1, PageDown: -5, PageUp: 5 };

/** @type {(event: KeyboardEvent) => void} */
function onKey(event) {
  if (event.altKey || event.ctrlKey || event.metaKey || !STEPS[event.key]) return;
  stepBy(STEPS[event.key]);
  event.preventDefault();
}

// What is wrong with a typed number is said once it is left.
/** @type {(left: boolean, name?: string) => void} */
function readTyped(left, name) {
  const { box } = elements();
  const way = name ?? box.ways.querySelector("[aria-pressed=true]")?.textContent ?? w.ways[0];
  for (const button of findAll("button", box.ways)) updateAttribute(button, "aria-pressed", String(button.dataset.way === way));
  try {
    travel = typedTravel(box.input.value, metric() ? "mm" : "in", way);
    said("");
    wrong = false;
    soon(drawFrame);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    wrong = left;
    if (left) said(error.message);
  }
}

/** @type {(sentence: string) => void} */
function said(sentence) {
  const { box } = elements();
  setText(box.problem, sentence);
  setHidden(box.problem, !sentence);
  updateAttribute(box.input, "aria-invalid", sentence ? "true" : null);
}

/** @type {(() => void) | null} */
let next = null;
/** @type {(draw: () => void) => void} */
function soon(draw) {
  // Curves draw the frame too.
  if (draw !== drawFrame || !next) next = draw;
  if (waiting) return;
  waiting = true;
  requestAnimationFrame(() => {
    waiting = false;
    const run = next;
    next = null;
    run?.();
  });
}

/** @type {CornerDrawing | null} */
let now = null;

/** One frame: one question to the core, then attributes. */
function drawFrame() {
  const { drawing, box } = elements();
  if (!plan || !view) return;
  if (!wrong) said("");
  const seen = standing(plan, travel);
  drawing.root.classList.toggle("gone", !(seen ?? now));
  if (!seen) return;
  now = seen;
  drawing.move(seen, better, off);
  const caption = text(seen.text);
  updateAttribute(drawing.root, "aria-label", w.drawing(rackName(open.draft.chosen), caption));
  updateAttribute(box.range, "aria-valuetext", caption);
  const value = view.band ? (travel / view.band) * FULL : 0;
  if (Math.abs(Number(box.range.value) - value) > 1) box.range.value = String(value);
  updateControls();
  chart.mark(view.wheels.length ? [seen.toe, metric() ? travel : travel / 25.4] : null, caption);
}

function updateControls() {
  const { box } = elements();
  setText(box.unit, metric() ? "mm" : "in");
  if (!now || wrong || document.activeElement === box.input) return;
  const shown = now.far[metric() ? 0 : 1];
  if (box.input.value !== shown) box.input.value = shown;
  for (const button of findAll("button", box.ways))
    updateAttribute(button, "aria-pressed", String(button.dataset.way === w.ways[travel < 0 ? 1 : 0]));
}
