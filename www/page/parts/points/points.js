// Points: where the suspension's joints are. One number at a time in two rounds, heights under the car and distances on the floor; a table of all; the
// right side mirrored until it is measured. What is known, what follows from the tape and what is odd comes from the core.

import { fieldOf } from "../../state/draft.js";
import { entry, open } from "../../state/plan.js";
import { unitOf } from "../../state/units.js";
import { act, askCore, fieldView, state, text } from "../../state/state.js";
import { points } from "../../core.js";
import { byId, find } from "../../widgets/dom.js";
import * as fields from "../../widgets/fields.js";
import { html, mark, nothing, renderKeepingFocus, svg } from "../../widgets/html.js";
import { words } from "../../words.js";
import { POINTS } from "../form/measurements.js";
import * as parts from "../parts.js";
import { cornerDrawing } from "./drawing.js";

/** @import { PointView, PointsView } from "../../../types/core" */
/** @typedef {{ path: string, joint: PointView, letter: string, axis: number, round: number }} Asked one number that is asked for */

const w = words.points;
const AXES = ["x", "y", "z"];
/** Of each round, the axes in the order in which they are measured. */
const ROUNDS = [[2], [0, 1]];

let now = ""; // the path of the number that is asked for
let right = false; // whether of the right wheel
/** @type {PointsView | null} */
let view = null;

/** @type {(joint: PointView, axis: number) => string} */
const pathOf = ({ name }, axis) => `car.${right ? "right_" : ""}${name}_${AXES[axis]}`;

const joints = () => (view?.points ?? []).filter(({ side }) => (side === "right") === right);

/** Every number that is asked for, in the order in which they are measured. */
function asked() {
  const all = joints();
  /** @type {Asked[]} */
  const out = ROUNDS.flatMap((axes, round) =>
    all.flatMap((joint, n) =>
      axes
        .filter((axis) => joint.from[axis] !== "tape")
        .map((axis) => ({ path: pathOf(joint, axis), joint, letter: w.letters[n], axis, round })),
    ),
  );
  return out;
}

/**
 * Asks for another number next.
 * @type {(path: string) => void}
 */
export function ask(path) {
  if (!/_[xyz]$/.test(path)) return;
  right = path.startsWith("car.right_");
  now = path;
  paint();
}

/** Whoever pressed Enter, or chose a side, goes on to the next number. */
export function goOn() {
  const all = asked();
  const next = all[all.findIndex(({ path }) => path === now) + 1];
  if (!next) return act.goToPart("bump");
  ask(next.path);
  const input = find(`[data-field="${next.path}"]`, document, HTMLInputElement);
  input?.focus();
  return input?.select();
}

/** Shows how the points stand. */
export function paint() {
  const { shownPlan: plan } = state;
  if (!plan || !parts.inFront("points")) return;
  askCore(() => {
    view = points(plan, open.draft.chosen);
  });
  if (!view) return;
  const all = asked();
  const one = all.find(({ path }) => path === now) ?? all.find(({ joint, axis }) => joint.from[axis] !== "typed") ?? all[0];
  now = one?.path ?? "";
  const said = view.suspension !== "";
  renderKeepingFocus(
    html`
      ${said ? null : kind()}
      ${said && one ? [progress(view, one), card(one, all)] : null}
      ${view.odd.map(
        (odd) => html`
          <div class="sheet find odd">
            ${mark("missing")}
            <div>
              <p class="title">${text(odd.title)}</p>
              <p>${text(odd.text)}</p>
              <button type="button" class="quiet" data-focus=${`odd-${odd.path}`} @click=${() => act.goToField(odd.path)}>${w.look}</button>
            </div>
          </div>
        `,
      )}
      <div class="sheet"><h3>${w.said}</h3><p class="sub" id="points-said">${view.text}</p>${waits(view)}${way(view.next)}</div>
      ${said ? [table(), lines(), stand(), kind()] : null}
    `,
    byId("points-form"),
  );
  // A field that has come onto the page shows what is in it.
  fields.paint();
}

const kind = () => html`<div class="sheet kind">${fields.field("car.suspension")}</div>`;

/** @type {(view: PointsView) => unknown} */
const waits = ({ waits }) => (waits.length ? html`<ul class="waits sub">${waits.map((line) => html`<li>${line}</li>`)}</ul>` : null);

// What is missing but is no point is asked for elsewhere.
/** @type {(next: string) => unknown} */
const way = (next) =>
  next.startsWith("racks.")
    ? html`<button type="button" class="wide" data-focus="points-rack" @click=${() => act.goToField(next)}>${w.rack}</button>`
    : null;

/** @type {(view: PointsView, one: Asked) => unknown} */
function progress({ rounds }, one) {
  const [done, all] = [0, 1].map((k) => rounds[0][k] + rounds[1][k]);
  /** @type {(n: number) => unknown} */
  const button = (n) => html`
    <button
      type="button"
      data-focus=${`round-${n}`}
      data-round=${n}
      aria-pressed=${String(one.round === n)}
      @click=${() => {
        const of = asked().filter(({ round }) => round === n);
        ask((of.find(({ joint, axis }) => joint.from[axis] !== "typed") ?? of[0])?.path ?? now);
      }}
    >
      <b>${n + 1} ${w.rounds[n]}</b><span>${w.roundsBy[n]} · ${w.of(rounds[n][0], rounds[n][1])}</span>
    </button>
  `;
  const ticks = Array.from({ length: all - 1 }, (_, k) => `M${10 * (k + 1)} 0v${(k + 1) % 5 ? 5 : 9}`).join("");
  return html`
    <div class="sheet progress">
      <p class="count"><b id="points-count">${w.count(done, all)}</b><span class="sub">${w.left(all - done)}</span></p>
      <svg class="measure" viewBox=${`0 0 ${10 * all} 14`} preserveAspectRatio="none" aria-hidden="true">
        ${svg`<rect class="whole" width=${10 * all} height="14" /><rect class="done" width=${10 * done} height="14" /><path d=${ticks} />`}
      </svg>
      <div class="rounds">${[0, 1].map(button)}</div>
    </div>
  `;
}

/** @type {(one: Asked, all: Asked[]) => unknown} */
function card(one, all) {
  const { path, joint, letter, axis, round } = one;
  const at = all.indexOf(one);
  const of = all.filter((other) => other.round === round);
  const [before, next] = [all[at - 1], all[at + 1]];
  const typed = (/** @type {string} */ name) => {
    const found = joints().find((other) => other.name === name);
    return ROUNDS[round].every((axis) => found?.from[axis] === "typed" || found?.from[axis] === "tape");
  };
  const names = joints().map(({ name }) => name);
  // The whole way is said once.
  const how = axis === 2 && before ? w.again(letter) : w.how[/** @type {"x" | "y" | "z"} */ (AXES[axis])](letter);
  return html`
    <div class="sheet ask one-at-a-time">
      <div class="ask-head">
        <span class="letter" aria-hidden="true">${letter}</span>
        <h3>${w.asks(joint.label, w.axes[axis])}</h3>
        <span class="sub">${w.of(of.indexOf(one) + 1, of.length)}</span>
      </div>
      <figure class="tape-panel lit">${cornerDrawing(names, typed, { name: joint.name, axis, label: joint.label.toLowerCase(), right })}</figure>
      <p class="how">${how}</p>
      ${fields.field(path)}
      <div class="steps">
        <button
          type="button"
          class="quiet"
          data-focus="point-back"
          ?disabled=${!before}
          @click=${() => before && ask(before.path)}
        >
          ${before ? `‹ ${before.letter} ${w.axes[before.axis]}` : w.back}
        </button>
        <button type="button" class="strong" data-focus="point-next" id="point-next" @click=${goOn}>
          ${next ? `${next.letter} ${w.axes[next.axis]} ›` : w.last}
        </button>
      </div>
    </div>
  `;
}

/** @type {() => unknown} */
function table() {
  const order = [2, 0, 1];
  return html`
    <div class="sheet">
      <h3>${w.all}</h3>
      <p class="sub">${w.allSub}</p>
      <div class="pair sides" role="group" aria-label=${w.which}>
        ${w.side.map(
          (name, n) => html`
            <button
              type="button"
              data-focus=${`points-${name}`}
              data-points-side=${name}
              aria-pressed=${String(right === Boolean(n))}
              @click=${() => {
                right = Boolean(n);
                now = "";
                paint();
              }}
            >
              ${name}
            </button>
          `,
        )}
      </div>
      ${right ? html`<p class="sub">${w.mirrored}</p>` : null}
      <div class="scroll"><table class="numbers">
        <thead><tr><th scope="col">${w.joint}</th>${order.map((axis) => html`<th scope="col">${w.axes[axis]}</th>`)}</tr></thead>
        <tbody>
          ${joints().map(
            (joint, n) => html`
              <tr>
                <th scope="row"><div>
                  <span class="letter" aria-hidden="true">${w.letters[n]}</span>
                  <span>${joint.label}${joint.from.includes("tape") ? html`<small>${w.from[joint.name] ?? ""}</small>` : null}</span></div></th>
                ${order.map((axis) => html`<td>${number(joint, axis)}</td>`)}
              </tr>
            `,
          )}
        </tbody>
      </table></div>
    </div>
  `;
}

/** @type {(joint: PointView, axis: number) => unknown} */
function number(joint, axis) {
  const from = joint.from[axis];
  const path = pathOf(joint, axis);
  const held = entry(path);
  const core = text(joint.texts[axis]);
  const typed = held?.text ? `${held.text} ${unitOf(path)} ${held.side}` : core || w.todo;
  if (from === "tape") return html`<span class="given">${split(core || w.todo)}</span>`;
  const here = path === now;
  const shown = here && !held?.text ? w.now : typed;
  return html`
    <button
      type="button"
      class=${from === "mirrored" && !held?.text ? "given" : ""}
      data-number=${path}
      data-focus=${`number-${path}`}
      aria-label=${`${w.asks(joint.label, w.axes[axis])}, ${shown}`}
      aria-current=${here ? "true" : null}
      @click=${() => act.goToField(path)}
    >
      ${split(shown)}
    </button>
  `;
}

// The number large, its unit and its word small.
/** @type {(typed: string) => unknown} */
function split(typed) {
  const [, number, unit, word] = /^(.*?) ?(mm|cm|in|ft|m) ?(\w*)$/.exec(typed.trim()) ?? [null, typed, "", ""];
  return html`<span class="n">${number}${unit ? html` <small>${unit}</small>` : null}</span>${word ? html` <small>${word}</small>` : null}`;
}

// ---- the lines that every number counts from ----

// Their reading is nought; what is typed is its ±.
const NOUGHT = /^0\s*±\s*/;

/** @type {(path: string, typed: string) => void} */
const typePm = (path, typed) => act.typeText(path, typed.trim() && !typed.includes("±") ? `0 ± ${typed}` : typed);

/** @type {(name: string) => unknown} */
function pm(name) {
  const path = `car.${name}`;
  const seen = fieldView(path);
  const held = (entry(path)?.text ?? "").replace(NOUGHT, "");
  const wrong = seen?.status === "unclear" && fields.focusedPath() !== path;
  return html`
    <div class="field" data-path=${path}>
      <label class="what" for=${`f-${name}`}><span class="label">${w.pm[name]}</span></label>
      <div class="box">
        <span class="pm" aria-hidden="true">±</span>
        <input
          id=${`f-${name}`}
          data-field=${path}
          type="text"
          inputmode="decimal"
          enterkeyhint="next"
          autocomplete="off"
          maxlength="64"
          aria-label=${`${w.pm[name]}, ±`}
          aria-invalid=${wrong ? "true" : null}
          .value=${held}
          placeholder=${fieldOf(path).pm[unitOf(path) === "in" ? "inch" : "mm"].replace(/ \w+$/, "")}
          ?readonly=${open.mode === "friend"}
          @input=${(/** @type {Event} */ { currentTarget }) => currentTarget instanceof HTMLInputElement && typePm(path, currentTarget.value)}
        />
        <span class="unit">${unitOf(path)}</span>
      </div>
      ${wrong ? html`<p class="problem">${seen.problem}</p>` : null}
    </div>
  `;
}

/** @type {() => unknown} */
const lines = () => html`
  <div class="sheet"><h3>${w.pms}</h3><p class="sub">${w.pmsSub}</p><div class="fields">${POINTS.lines.map(pm)}</div></div>
`;

/** @type {() => unknown} */
const stand = () => html`
  <div class="sheet"><h3>${w.stand}</h3><div class="fields">${POINTS.stand.map((name) => fields.field(`car.${name}`))}</div></div>
`;

/** For a plan that was not open before: it is asked for from its beginning. */
export function forget() {
  now = "";
  right = false;
  renderKeepingFocus(nothing, byId("points-form"));
}
