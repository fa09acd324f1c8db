// Where the rack goes: the map of its places, what is asked of them, and the rack set to another one by a tap, a step or a button. Every figure and sentence
// comes from the core.

import { drawPlace, moved, place, resultOf } from "../../core.js";
import { open } from "../../state/plan.js";
import { act, rackName, state, text } from "../../state/state.js";
import { readUnits } from "../../state/units.js";
import { Chart, table } from "../../widgets/chart.js";
import { byId, setHidden, setText, updateAttribute } from "../../widgets/dom.js";
import { html, mark, render, renderKeepingFocus } from "../../widgets/html.js";
import * as fields from "../../widgets/fields.js";
import { words } from "../../words.js";
import { WAY } from "../form/measurements.js";
import { HOLE, TYRE, results } from "../results.js";
import * as parts from "../parts.js";

/** @import { Moved, PlaceView, ResultView as Result } from "../../../types/core" */
/** @import { Plan } from "../../../types/page" */

const w = words.place;
/** How far a step goes, mm. */
const STEPS = { mm: [1, 5], inch: [25.4 / 16, 25.4 / 4] };
const PAUSE = 300;

/** @type {Plan | null} */
let plan = null;
/** @type {PlaceView | null} */
let view = null;
let layer = 0;
let step = 1;
/** @type {boolean | null} */
let near = null; // null: as the core opens it
let shown = ""; // whose map it is
/** @type {number[]} */
let middle = [NaN, NaN];
/** @type {number[]} */
let was = [];
let pause = 0;

const chart = new Chart(
  "map",
  (canvas, data, ...size) => drawPlace(open.draft.chosen, layer, was, plan, canvas, ...size),
  () => w.chart[readUnits()],
  {
    steep: 0.95,
  },
);

/**
 * Shows where the chosen rack may go; while somebody types, in a pause.
 * @type {(typing: boolean) => void}
 */
export function paint(typing) {
  clearTimeout(pause);
  const i = open.draft.chosen;
  if (!state.shown?.racks[i] || !state.shownPlan || !parts.inFront("place")) return;
  if (typing) {
    pause = window.setTimeout(() => paint(false), PAUSE);
    return;
  }
  plan = state.shownPlan;
  setText(byId("place-sub"), w.on(rackName(i)));
  // Another rack, or other axes, have a map of their own; a rack that was moved stays on the map it was moved on.
  const whose = `${open.mode} ${open.id} ${i} ${readUnits()}`;
  if (whose !== shown) {
    near = null;
    middle = [NaN, NaN];
  }
  if (whose !== shown || !act.wasSet()) was = [];
  shown = whose;
  view = place(plan, i, middle, near, readUnits() === "inch");
  const [x, z] = view.at;
  const reach = readUnits() === "inch" ? 25.4 : 30;
  // Typed elsewhere, far off: the map goes there.
  if (Number.isFinite(middle[0]) && Math.max(Math.abs(x - middle[0]), Math.abs(z - middle[1])) > (view.near ? reach : 2 * reach)) {
    middle = [NaN, NaN];
    view = place(plan, i, middle, near, readUnits() === "inch");
  }
  middle = view.middle;
  near = view.near;
  show(view);
}

/** @type {(now: PlaceView) => void} */
function show(now) {
  const known = !now.why;
  render(way(), byId("place-way"));
  fields.paint();
  setHidden(byId("place-verdict"), !known);
  if (known) renderKeepingFocus(verdict(now), byId("place-verdict"));
  for (const id of ["place-layers", "place-drive", "place-limits", "place-more"]) setHidden(byId(id), !known);
  chart.show(known ? {} : null, now.why);
  if (!known) return;
  renderKeepingFocus(layers(now), byId("place-layers"));
  renderKeepingFocus(drive(now), byId("place-drive"));
  render(limits(now), byId("place-limits"));
  const summary = w.summary(text(now.limits[layer].name));
  setText(byId("map-summary"), summary);
  updateAttribute(byId("map"), "aria-label", `${w.title}. ${text(now.says)} ${text(now.better)} ${summary}`);
  const columns = now.limits.map((limit) => text(limit.name));
  for (const [n, id] of ["place-along", "place-up"].entries())
    table(
      id,
      [w.columns[n], ...columns, w.passes],
      now.tables[n].map((row) => row.map(text)),
    );
}

/** @type {(now: PlaceView) => unknown} */
const verdict = ({ kind, says, better, best, then, helps }) => html`
  <div class="find verdict">
    ${mark(kind)}
    <div>
      <p class="sentence" id="place-says" data-kind=${kind}>${text(says)}</p>
      <p class="rest">${text(better)}</p>
    </div>
  </div>
  ${
    best && (helps || kind !== "pass")
      ? html`
        <div class="mend">
          <p class="sentence">${(helps ? w.best : w.least)(text(best.place))}</p>
          <p class="rest">${w.there(text(then))}</p>
          <div class="buttons">
            <button
              type="button"
              class=${helps ? "strong" : ""}
              id="place-best"
              data-focus="place-best"
              ?disabled=${open.mode === "friend"}
              @click=${() => set(best)}
            >
              ${w.setBest}
            </button>
          </div>
        </div>
      `
      : null
  }
`;

/** @type {(now: PlaceView) => unknown} */
const layers = (now) =>
  now.limits.map(
    (limit, n) => html`
      <button
        type="button"
        data-focus=${`place-layer-${n}`}
        aria-pressed=${String(n === layer)}
        @click=${() => {
          layer = n;
          show(now);
        }}
      >
        ${text(limit.name)}
      </button>
    `,
  );

/** @type {(now: PlaceView) => unknown} */
function drive(now) {
  const units = readUnits();
  const locked = open.mode === "friend";
  /** @type {(n: number) => unknown} */
  const go = (n) => {
    const [ahead, up] = [
      [1, 0],
      [0, 1],
      [0, -1],
      [-1, 0],
    ][n];
    const by = STEPS[units][step];
    return html`
      <button
        type="button"
        data-focus=${`place-go-${n}`}
        ?disabled=${locked}
        @click=${() => goTo(now.at[0] + ahead * by, now.at[1] + up * by)}
      >
        <span aria-hidden="true">${w.arrows[n]}</span> ${w.ways[n]}
      </button>
    `;
  };
  return html`
    <div class="ways">${[0, 1, 2, 3].map(go)}</div>
    <div class="two-pairs">
      <div class="pair" role="group" aria-label=${w.step}>
        ${w.steps[units].map(
          (name, n) => html`
            <button
              type="button"
              data-focus=${`place-step-${n}`}
              aria-pressed=${String(n === step)}
              @click=${() => {
                step = n;
                show(now);
              }}
            >
              ${name}
            </button>
          `,
        )}
      </div>
      <div class="pair" role="group" aria-label=${w.reach}>
        ${[true, false].map(
          (close, n) => html`
            <button
              type="button"
              data-focus=${`place-reach-${n}`}
              aria-pressed=${String(close === now.near)}
              @click=${() => {
                near = close;
                paint(false);
              }}
            >
              ${text(now.reach[n])}
            </button>
          `,
        )}
      </div>
    </div>
    <button type="button" class="plain" data-focus="place-typed" @click=${() => act.goToField(`racks.${open.draft.chosen}.rack_line`)}>
      ${w.typed}
    </button>
  `;
}

/** @type {(now: PlaceView) => unknown} */
const limits = (now) => html`
  <h3>${w.limits}</h3>
  <ul class="asked">
    ${now.limits.map(
      (limit) => html`
        <li>
          ${limit.kind ? mark(limit.kind) : html`<span class="none" aria-hidden="true"></span>`}
          <span class="name">${text(limit.name)}${limit.kind ? html`<span class="sr">, ${words.parts.ear[limit.kind]}:</span>` : null}</span>
          <b>${text(limit.value)}</b> <small>${text(limit.bound)}</small>
        </li>
      `,
    )}
  </ul>
  <p class="sub">${w.held}</p>
`;

/** What the housing must keep out of: each box is typed, not drawn. */
const way = () => html`
  <h3>${w.way}</h3>
  <p class="sub">${w.waySub}</p>
  <div class="fields">${WAY.rack.map((name) => fields.field(`racks.${open.draft.chosen}.${name}`))}</div>
  ${WAY.boxes.map(
    (names, n) => html`
      <details class="more">
        <summary>${w.boxes[n]}</summary>
        <div class="fields">${names.map((name) => fields.field(`car.${name}`))}</div>
      </details>
    `,
  )}
  <h3>${w.hole}</h3>
  <p class="sub">${w.holeSub}</p>
  <div class="fields">
    ${WAY.rail.map((name) => fields.field(`car.${name}`))}
    ${WAY.rod.map((name) => fields.field(`racks.${open.draft.chosen}.${name}`))}
  </div>
  ${told(HOLE)} ${view?.hole.map((says) => html`<p class="sub">${text(says)}</p>`)} ${sketch()}
  <h3>${w.tyre}</h3>
  <p class="sub">${w.tyreSub}</p>
  <div class="fields">${WAY.tyre.map((name) => fields.field(`car.${name}`))}</div>
  ${told(TYRE)}
`;

/** The left rod's hole to scale, seen from the left: circle, rectangle, and where the tie-rod end is. */
function sketch() {
  const rack = state.shown?.racks[open.draft.chosen];
  const of = rack ? HOLE.map((name) => results(rack, name)[0].value) : [null];
  if (of.some((v) => v === null)) return null;
  const [across, ahead, up, rear, front, low, high] = of.map(Number);
  const r = across / 2;
  const [left, right] = [Math.max(front, ahead + r, 0), Math.min(rear, ahead - r, 0)];
  const [top, bottom] = [Math.max(high, up + r, 0), Math.min(low, up - r, 0)];
  const size = Math.max(left - right, 1.5 * (top - bottom)) / 100;
  return html`
    <svg
      class="rail-hole"
      role="img"
      aria-label=${w.sketch}
      viewBox=${[-left - size, -top - size, left - right + 2 * size, top - bottom + 2 * size].join(" ")}
      style=${`--size: ${size}`}
    >
      <rect x=${-front} y=${-high} width=${front - rear} height=${high - low}></rect>
      <circle cx=${-ahead} cy=${-up} r=${r}></circle>
      <path d=${`M${-ahead - 3 * size} ${-up}h${6 * size}M${-ahead} ${-up - 3 * size}v${6 * size}`}></path>
      <circle class="end" r=${1.5 * size}></circle>
    </svg>
    <p class="rail-row">${[w.ahead, w.end, w.behind].map((said) => html`<span>${said}</span>`)}</p>
  `;
}

/** Figures, one where both sides of each are alike; what is wanting, once. */
function told(/** @type {string[]} */ names) {
  const rack = state.shown?.racks[open.draft.chosen];
  if (!rack) return null;
  const all = names.map((name) => results(rack, name));
  const wanting = all[0].find((r) => r.status !== "ok");
  if (wanting) return html`<p class="sub">${text(wanting.text)}</p>`;
  const alike = all.every(([left, right]) => !right || text(left.text) === text(right.text));
  /** @type {(shown: Result[]) => unknown} */
  const row = (shown) => html`
    <li>
      <span class="none" aria-hidden="true"></span>
      <span class="name">${resultOf(shown[0].name).label}</span>
      <b>${shown.slice(0, alike ? 1 : 2).map((r) => html`<span class="one">${alike ? "" : `${r.side}: `}${text(r.text)}</span> `)}</b>
    </li>
  `;
  return html`<ul class="asked">${all.map(row)}</ul>`;
}

/** @type {(ahead: number, up: number) => void} */
function goTo(ahead, up) {
  if (!plan || !view) return;
  set(moved(plan, view.at, ahead, up));
}

/** @type {(to: Moved) => void} */
function set(to) {
  if (!view || !text(to.place)) return;
  was = view.at;
  act.setRack({ rack_line: text(to.line), height: text(to.height) }, text(to.place));
}

/** A tap on the map is a place for the rack, to the whole step. */
export function watch() {
  byId("map").addEventListener("click", (event) => {
    const [x, x2, left, right, y, y2, bottom, top] = chart.ground;
    if (!view || left === undefined || open.mode === "friend") return;
    const box = byId("map").getBoundingClientRect();
    const [across, up] = [(event.clientX - box.left - left) / (right - left), (event.clientY - box.top - bottom) / (top - bottom)];
    if (Math.min(across, up) < 0 || Math.max(across, up) > 1) return;
    const scale = readUnits() === "inch" ? 25.4 : 1;
    const unit = STEPS[readUnits()][0];
    /** @type {(v: number) => number} */
    const whole = (v) => Math.round((v * scale) / unit) * unit;
    goTo(whole(x + across * (x2 - x)), whole(y + up * (y2 - y)));
  });
}
