// What to look for before the trip: the core's buying guide, sentences and a small picture. Evaluated only while it is open and near the viewport.

import { Refused, Stopped, lookFor } from "../../core.js";
import { byId, updateAttribute } from "../../widgets/dom.js";
import { html, mark, render, svg } from "../../widgets/html.js";
import { open } from "../../state/plan.js";
import { readUnits } from "../../state/units.js";
import { focusedField, keepInPlace } from "../../widgets/reach.js";
import { rackName, state, text } from "../../state/state.js";
import { words } from "../../words.js";

/** @import { BuyingGuide, Picture, Text } from "../../../types/core" */
/** @import { Answer, Plan, PlanRack } from "../../../types/page" */

/** @type {(run: () => void) => void} */
const whenIdle = "requestIdleCallback" in window ? (run) => requestIdleCallback(run, { timeout: 250 }) : (run) => setTimeout(run, 60);
/** @type {{ view: Answer, plan: Plan } | null} */
let asked = null; // what the guide is evaluated from
/** @type {BuyingGuide | null} */
let guide = null;
let guideFor = "";
let near = false;
let waiting = false;
let openedFor = "";

const fold = () => byId("yard", HTMLDetailsElement);

/** Watches for what makes it worth working out: unfolded, near the screen, another width. */
export function watch() {
  byId("yard").addEventListener("toggle", later);
  new ResizeObserver(later).observe(byId("yard-told"));
  new IntersectionObserver(
    (seen) => {
      // Several entries may arrive at once: the last one is the current state.
      near = seen.at(-1)?.isIntersecting ?? false;
      if (near) later();
    },
    { rootMargin: "300px" },
  ).observe(byId("yard"));
}

/** Takes what the page shows now. */
export function paint() {
  const { shown: view, shownPlan: plan } = state;
  if (!view || !plan) return;
  asked = { view, plan };
  // For a plan without a measured rack it is the first answer, and open until somebody closes it.
  const which = `${open.mode}|${open.id}`;
  if (openedFor !== which) {
    openedFor = which;
    fold().open = !view.racks.some((rack) => rack.fields.inner_joint_spacing);
  }
  later();
}

function later() {
  if (waiting || !asked || !near || !fold().open) return;
  waiting = true;
  whenIdle(() => {
    waiting = false;
    try {
      keepInPlace(focusedField(), show);
    } catch (error) {
      // A core that stopped is started again, and then everything is painted anew.
      if (!(error instanceof Stopped) && !(error instanceof Refused)) throw error;
    }
  });
}

function show() {
  if (!asked) return;
  const { view, plan } = asked;
  const key = JSON.stringify(plan);
  if (!guide || key !== guideFor) {
    guide = lookFor(plan);
    guideFor = key;
  }
  const place = byId("yard-told");
  const width = Math.round(place.clientWidth);
  if (!width) return;
  updateAttribute(place, "data-status", guide.status);
  render(content(guide, view, plan.racks ?? [], width), place);
}

/** @type {(told: BuyingGuide, view: Answer, racks: PlanRack[], width: number) => unknown} */
function content(guide, view, racks, width) {
  const rem = parseFloat(getComputedStyle(document.documentElement).fontSize) || 16;
  const names = racks.map((rack) => rack.name ?? "");
  /** @type {(both: Text) => string} */
  const said = (both) => words.apart(text(both), names);
  const looks = guide.lines.map(
    (line) => html`
      <div class="look" data-look-for=${line.name}>
        <dt>${line.label}</dt>
        <dd><p class="what">${said(line.text)}</p></dd>
        ${line.more.length ? html`<dd class="why">${line.more.map(said).join(" ")}</dd>` : null}
      </div>
    `,
  );
  return html`
    ${looks.length ? html`<dl>${looks}</dl>` : null}
    <figure>
      ${guide.picture ? picture(guide.picture, text(guide.summary), width, rem) : null}
      <figcaption id="yard-summary">${said(guide.summary)}</figcaption>
      ${guide.picture ? legend(view, guide.picture) : null}
    </figure>
    ${guide.notes.map((note) => html`<p class="note">${said(note)}</p>`)}
  `;
}

/** @type {(view: Answer, picture: Picture) => unknown} */
const legend = (view, { wanted, racks }) => html`
  <ul class="key">
    <li><span class="stroke"></span>${words.yard.most}</li>
    ${wanted === null ? null : html`<li><span class="stroke ideal"></span>${words.yard.wanted}</li>`}
    ${racks.map(
      ([i]) => html`
        <li class=${i === open.draft.chosen ? "pick" : null} data-point=${i}>
          <span class="number">${i + 1}</span>${rackName(i)}${mark(view.racks[i].verdict.kind)}
        </li>
      `,
    )}
  </ul>
`;

// ---- the picture: one unit is one CSS pixel ----

/** @type {(given: Picture, sentence: string, width: number, rem: number) => unknown} */
function picture(given, sentence, width, rem) {
  // The font size follows the root element's, up to what the width has room for: the sentences say the same.
  const size = Math.max(14, Math.min(0.875 * rem, width / 18));
  const [left, right, top, bottom] = [3.1 * size, 0.9 * size, 1.9 * size, 3.1 * size];
  const height = Math.round(Math.min(0.42 * width, 15 * rem) + bottom);
  /** @type {(mm: number) => number} */
  const across = (mm) => left + ((mm - given.x[0]) / (given.x[1] - given.x[0])) * (width - left - right);
  /** @type {(deg: number) => number} */
  const up = (deg) => height - bottom - ((deg - given.y[0]) / (given.y[1] - given.y[0])) * (height - bottom - top);
  /** @type {(mm: number, deg: number) => string} */
  const at = (mm, deg) => `${across(mm).toFixed(1)},${up(deg).toFixed(1)}`;
  const ticks = given.ticks[readUnits() === "inch" ? 1 : 0];
  /** @type {(name: string, x1: number, y1: number, x2: number, y2: number) => unknown} */
  const line = (name, x1, y1, x2, y2) => svg`<line class=${name} x1=${x1} y1=${y1} x2=${x2} y2=${y2}></line>`;
  /** @type {(name: string, x: number, y: number, anchor: string, said: string) => unknown} */
  const note = (name, x, y, anchor, said) => svg`<text class=${name} x=${x} y=${y} text-anchor=${anchor}>${said}</text>`;
  const [floor, first, last] = [height - bottom, left, width - right];
  const inside = given.most.filter(([, deg]) => deg >= given.y[0] && deg <= given.y[1]);
  const band = given.band;
  // The word stands as near to the band's middle as there is room for it beside the racks' discs.
  /** @type {(place: number[]) => number} */
  const level = ([, least, most]) => (up(least) + up(most)) / 2;
  const half = Math.floor(band.length / 2);
  const middle = [...band.keys()]
    .sort((a, b) => Math.abs(a - half) - Math.abs(b - half))
    .map((n) => band[n])
    .find(
      (place) =>
        up(place[1]) - up(place[2]) > 1.6 * size &&
        given.racks.every(
          ([, mm, deg]) => Math.abs(across(mm) - across(place[0])) > 4 * size || Math.abs(up(deg) - level(place)) > 1.8 * size,
        ),
    );
  const edge = [...band.map(([mm, , most]) => at(mm, most)), ...[...band].reverse().map(([mm, least]) => at(mm, least))].join(" ");
  const unit = words.yard.unit[readUnits()];
  return html`
    <svg class="plot" viewBox=${`0 0 ${width} ${height}`} width=${width} height=${height} role="img" aria-label=${sentence} .style=${`font-size:${size}px`}>
      ${band.length ? svg`<polygon class="band" points=${edge}></polygon>` : null}
      ${given.rises.map(([deg, name]) => [
        line("grid", first, up(deg), last, up(deg)),
        note("tick", first - 0.5 * size, up(deg) + 0.35 * size, "end", name),
      ])}
      ${ticks.map(([mm, name]) => [
        line("grid", across(mm), floor, across(mm), floor + 0.35 * size),
        note("tick", across(mm), floor + 1.4 * size, "middle", name),
      ])}
      ${line("axis", first, floor, last, floor)}
      ${note("name", 0, 0.95 * size, "start", given.axes[1])}
      ${note("name", last, height - 0.35 * size, "end", `${given.axes[0]}, ${unit}`)}
      ${inside.length > 1 ? svg`<polyline class="most" points=${inside.map(([mm, deg]) => at(mm, deg)).join(" ")}></polyline>` : null}
      ${given.wanted === null ? null : line("wanted", first, up(given.wanted), last, up(given.wanted))}
      ${middle ? note("inside", across(middle[0]), level(middle) + 0.35 * size, "middle", words.yard.passes) : null}
      ${points(given.racks, across, up, size, width)}
    </svg>
  `;
}

// A numbered disc for each rack; one that would cover another is placed beside its point, with a line to it.
/** @type {(racks: Picture["racks"], across: (mm: number) => number, up: (deg: number) => number, size: number, width: number) => unknown} */
function points(racks, across, up, size, width) {
  const radius = 0.85 * size;
  /** @type {[number, number][]} */
  const placed = [];
  return racks.map(([i, mm, deg]) => {
    const [x, y] = [across(mm), up(deg)];
    let [px, py] = [x, y];
    for (let tries = 0; tries < 8 && placed.some(([a, b]) => Math.hypot(a - px, b - py) < 2.1 * radius); tries++) {
      px = px + 2.2 * radius > width - radius ? x : px + 2.2 * radius;
      if (px === x) py += 2.2 * radius;
    }
    placed.push([px, py]);
    const beside = px !== x || py !== y;
    return svg`
      <g class=${i === open.draft.chosen ? "point pick" : "point"}>
        ${beside ? svg`<line x1=${x} y1=${y} x2=${px} y2=${py}></line><circle class="spot" cx=${x} cy=${y} r="3"></circle>` : null}
        <circle cx=${px} cy=${py} r=${radius}></circle>
        <text x=${px} y=${py + 0.35 * size} text-anchor="middle">${i + 1}</text>
      </g>
    `;
  });
}
