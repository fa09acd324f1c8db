// What to look for before the trip: sentences and a small picture, both from the core. Worked out only while it is open and near.

import { Refused, Stopped, lookFor } from "../../core.js";
import { put } from "../../widgets/dom.js";
import { html, mark, render, svg } from "../../widgets/html.js";
import { open, readUnits } from "../../state/plan.js";
import { held, steady } from "../../widgets/reach.js";
import { rackName, state, text } from "../../state/state.js";
import { words } from "../../words.js";

const part = (id) => document.getElementById(id);
const idle = window.requestIdleCallback ? (run) => requestIdleCallback(run, { timeout: 250 }) : (run) => setTimeout(run, 60);
let given = null; // what it is to be worked out from: view and plan
let told = null;
let toldFor = "";
let near = false;
let waiting = false;
let opened = "";

/** Watches for what makes it worth working out: unfolded, near the screen, another width. */
export function watch() {
  part("yard").addEventListener("toggle", later);
  new ResizeObserver(later).observe(part("yard-told"));
  new IntersectionObserver(
    (seen) => {
      // Of what a busy page tells late the last counts.
      near = seen.at(-1).isIntersecting;
      if (near) later();
    },
    { rootMargin: "300px" },
  ).observe(part("yard"));
}

/** Takes what the page shows now. */
export function paint() {
  const view = state.shown;
  given = { view, plan: state.shownPlan };
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
  const { view, plan } = given;
  const asked = JSON.stringify(plan);
  if (asked !== toldFor) {
    told = lookFor(plan);
    toldFor = asked;
  }
  const place = part("yard-told");
  const width = Math.round(place.clientWidth);
  if (!width) return;
  put(place, "data-status", told.status);
  render(answer(view, plan.racks, width), place);
}

function answer(view, racks, width) {
  const rem = parseFloat(getComputedStyle(document.documentElement).fontSize) || 16;
  const names = racks.map((rack) => rack.name ?? "");
  const said = (both) => words.apart(text(both), names);
  const looks = told.lines.map(
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
      ${told.picture ? picture(told.picture, text(told.summary), width, rem) : null}
      <figcaption id="yard-summary">${said(told.summary)}</figcaption>
      ${told.picture ? key(view, told.picture) : null}
    </figure>
    ${told.notes.map((note) => html`<p class="note">${said(note)}</p>`)}
  `;
}

const key = (view, { wanted, racks }) => html`
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

// ---- the picture: one unit of it is one pixel ----

function picture(given, sentence, width, rem) {
  // Large letters make the picture's larger only as far as it still has room for them: the sentences say the same.
  const size = Math.max(14, Math.min(0.875 * rem, width / 18));
  const [left, right, top, bottom] = [3.1 * size, 0.9 * size, 1.9 * size, 3.1 * size];
  const height = Math.round(Math.min(0.42 * width, 15 * rem) + bottom);
  const across = (mm) => left + ((mm - given.x[0]) / (given.x[1] - given.x[0])) * (width - left - right);
  const up = (deg) => height - bottom - ((deg - given.y[0]) / (given.y[1] - given.y[0])) * (height - bottom - top);
  const at = (mm, deg) => `${across(mm).toFixed(1)},${up(deg).toFixed(1)}`;
  const ticks = given.ticks[readUnits() === "inch" ? 1 : 0];
  const line = (name, x1, y1, x2, y2) => svg`<line class=${name} x1=${x1} y1=${y1} x2=${x2} y2=${y2}></line>`;
  const note = (name, x, y, anchor, said) => svg`<text class=${name} x=${x} y=${y} text-anchor=${anchor}>${said}</text>`;
  const [floor, first, last] = [height - bottom, left, width - right];
  const inside = given.most.filter(([, deg]) => deg >= given.y[0] && deg <= given.y[1]);
  const band = given.band;
  const middle = band[Math.floor(band.length / 2)];
  const room = middle && up(middle[1]) - up(middle[2]) > 1.6 * size;
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
      ${room ? note("inside", across(middle[0]), (up(middle[1]) + up(middle[2])) / 2 + 0.35 * size, "middle", words.yard.passes) : null}
      ${points(given.racks, across, up, size, width)}
    </svg>
  `;
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
