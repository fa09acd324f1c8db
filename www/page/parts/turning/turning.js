// Turning: the moving axle, the charts, findings, every figure. Positions, curves and texts come from the core.

import { HOLE, TYRE, byName, figureId, worse } from "../results.js";
import { byId, find, setHidden, setText } from "../../widgets/dom.js";
import { figure, html, mark, render, renderKeepingFocus } from "../../widgets/html.js";
import { paintCharts } from "./charts.js";
import * as rests from "./rests.js";
import { resultOf } from "../../core.js";
import * as motion from "./motion.js";
import { open } from "../../state/plan.js";
import { act, rackName, state, text } from "../../state/state.js";
import { words } from "../../words.js";

/** @import { Finding, RackView, ResultView, VerdictKind } from "../../../types/core" */
/** @import { Answer } from "../../../types/page" */

const TRIO = /** @type {const} */ (["ratio_centre", "turns", "circle_centre"]);

/** Shows everything about the chosen rack. */
export function paint() {
  const { shown: view, shownPlan: plan } = state;
  const i = open.draft.chosen;
  const rack = view?.racks[i];
  if (!rack || !plan) return;
  setText(byId("turning-sub"), words.turning.rackOf(rackName(i)));
  paintPick(view);
  paintVerdict(rack, i);
  paintTrio(rack, i);
  paintCharts(view, i, motion.paint(plan, i));
  paintFindings(rack);
  paintFigures(view, i);
}

/** @type {(view: Answer) => void} */
function paintPick(view) {
  const place = byId("turning-pick");
  setHidden(place, view.racks.length < 2);
  renderKeepingFocus(
    view.racks.map((_, i) => chip(i)),
    place,
  );
}

/** @type {(i: number) => unknown} */
const chip = (i) => html`
  <button
    type="button"
    class="chip"
    data-focus=${`pick-${i}`}
    data-pick=${i}
    aria-pressed=${String(i === open.draft.chosen)}
    @click=${() => act.choose(i)}
  >
    ${rackName(i)}
  </button>
`;

/** @type {(rack: RackView, i: number) => void} */
function paintVerdict(rack, i) {
  const { kind, sentence, unchecked, assumed, unread, notices } = rack.verdict;
  /** @type {(what: string, names: string[]) => unknown} */
  const listed = (what, names) => (names.length ? html`<p class="rest">${what}: ${names.join(", ")}.</p>` : null);
  const line = text(rack.line.text);
  render(
    html`
      ${mark(kind)}
      <div>
        <p class="sentence" data-verdict=${i} data-kind=${kind}>${text(sentence)}</p>
        ${notices.map((notice) => html`<p class="rest notice">${mark("notice")}<span>${text(notice)}</span></p>`)}
        ${line ? html`<p class="rest">${line}</p>` : null}
        ${listed(words.turning.unchecked, unchecked)}${listed(words.turning.assumed, assumed)}${listed(words.turning.unread, unread)}
      </div>
    `,
    byId("verdict"),
  );
}

/** @type {(rack: RackView, i: number) => void} */
function paintTrio(rack, i) {
  /** @type {(name: (typeof TRIO)[number]) => unknown} */
  const box = (name) => {
    const result = worse(rack, resultOf(name));
    const shown = result?.status === "ok" ? result : null;
    return html`
      <div data-trio=${name}>
        <p class="big" data-result=${shown && figureId(i, shown)}>${figure(shown ? text(shown.text) : words.strip.dash)}</p>
        <p class="name">${words.turning.trio[name]}</p>
      </div>
    `;
  };
  render(TRIO.map(box), byId("trio"));
}

// ---- findings ----

// Order of findings: judged ones that fail or are close, judged ones that pass, then those that are not judged.
/** @type {(f: Finding) => number} */
const rank = (f) =>
  (f.judged === false ? 4 : 0) +
  ["fail", "close", "missing", "pass", "notice"].indexOf(f.kind === "notice" ? "close" : f.kind) -
  (f.kind === "notice" ? 3.5 : 0);

/** @type {(rack: RackView) => void} */
function paintFindings(rack) {
  const list = rack.findings
    .map((f, n) => /** @type {const} */ ([f, n]))
    .sort(([a, n], [b, m]) => rank(a) - rank(b) || n - m)
    .map(([f]) => f);
  render(list.length ? list.map(findingRow) : html`<li class="sub">${words.turning.noFindings}</li>`, byId("findings"));
}

/** @type {(f: Finding) => unknown} */
function findingRow(f) {
  const origin = f.origin && f.judged !== false ? `${words.turning.origin}: ${f.origin}` : "";
  /** @type {(said: string, kind?: string | null) => unknown} */
  const line = (said, kind = null) => (said ? html`<p class=${kind}>${said}</p>` : null);
  return html`
    <li class="find" data-finding=${[f.name, f.side].filter(Boolean).join(".")} data-kind=${f.kind} tabindex="-1">
      ${mark(f.kind)}
      <div>${line(text(f.title), "title")}${line(text(f.reason))}${line(text(f.remedy))}${line(origin, "origin")}</div>
    </li>
  `;
}

// ---- every figure ----

/** @type {Record<string, string[]>} */
const GROUPS = {
  ratio: [
    "ratio_first",
    "ratio_centre",
    "ratio_lock",
    "rack_per_degree",
    "steer_rate",
    "turns",
    "turns_bare",
    "travel_per_turn",
    "travel",
    "usable_travel",
  ],
  lock: [
    "lock_inner",
    "lock_outer",
    "ideal_outer",
    "toe_out_lock",
    "ackermann_angle",
    "ackermann_cotangent",
    "ackermann_limit",
    "chalk_line",
    "transmission_inner",
    "transmission_outer",
    "transmission_least",
    "transmission_bumps",
  ],
  circle: ["circle_centre", "circle_outer_rules", "circle_inner_rules", "circle_edge", "wall_to_wall", "rear_inner_edge"],
  points: [
    "kingpin_inclination",
    "caster",
    "trail",
    "bump_steer",
    "bump_peak",
    "bump_peak_at",
    "shim_move",
    "shim_leaves",
    "best_place_up",
    "best_place_inboard",
    "best_place_leaves",
    "least_move_up",
    "least_move_inboard",
    "slot_low",
    "slot_high",
    "roll_steer",
  ],
  rack: [
    "axis_spacing_at_ground",
    "axis_spacing_at_rod_end",
    "scrub_radius",
    "arm_length",
    "arm_angle",
    "rod_length",
    "rod_length_straight",
    "toe_centre",
    "rod_angle",
    "rod_tilt",
    "housing_room",
  ],
  hole: HOLE,
  tyre: TYRE,
};
/** @type {(name: string) => string} */
const groupOf = (name) => Object.keys(GROUPS).find((group) => GROUPS[group].includes(name)) ?? "reserve";

/** @type {(view: Answer, i: number) => void} */
function paintFigures(view, i) {
  const all = [...byName(view.racks[i])];
  /** @type {(key: string) => unknown} */
  const group = (key) => html`
    <details class="more" data-group=${key}>
      <summary>${words.turning.groups[key]}</summary>
      ${all.filter(([name]) => groupOf(name) === key).map(([name, shown]) => figureRow(name, shown, i))}
    </details>
  `;
  render([...Object.keys(GROUPS), "reserve"].map(group), byId("figures"));
  rests.follow();
}

/** @type {(name: string, all: ResultView[], i: number) => unknown} */
function figureRow(name, all, i) {
  const { label, explain } = resultOf(name);
  const same = all.length > 1 && all.every((r) => text(r.text) === text(all[0].text));
  const lines = [explain];
  for (const r of same ? all.slice(0, 1) : all) {
    if (r.status === "ok" && r.most) lines.push(words.turning.most(r.most, `${r.most_share} %`, same || !r.side ? "" : r.side));
    lines.push(...r.notes.map((note) => words.turning.note(note)));
  }
  /** @type {(r: ResultView, n: number) => unknown} */
  const value = (r, n) => html`
    <span class="one" ?hidden=${same && n > 0}>
      <span class="side" ?hidden=${!r.side || (same && r.status !== "ok")}>${same ? words.turning.bothSides : r.side}</span> ${
        r.status === "ok"
          ? html`<span class="value" data-result=${figureId(i, r)}>${figure(text(r.text))}</span>`
          : html`<span class="value why" data-result=${figureId(i, r)}>${text(r.text)}</span>`
      }
    </span>
  `;
  return html`
    <details class="fact" data-fact=${name} @toggle=${rests.onToggle}>
      <summary><span class="label">${label}</span><span class="values">${all.map(value)}</span></summary>
      <div class="rest">${[...new Set(lines)].map((line) => html`<p>${line}</p>`)}</div>
      <div class="rests-on"></div>
    </details>
  `;
}

/** Goes to what the strip speaks of: the worst finding of the chosen rack. */
export function toReason() {
  const wrong = ["fail", "close"].map((kind) => find(`#findings [data-kind=${kind}]`)).find(Boolean);
  const target = wrong ?? byId("verdict");
  // The focus first: while it is in a field, Turning is not laid out.
  target.focus({ preventScroll: true });
  target.scrollIntoView({ block: "center", behavior: matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth" });
}
