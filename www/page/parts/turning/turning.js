// Turning: the moving axle, the charts, what to mind, every figure. Positions, curves and words come from the core.

import { byName, hook, worse } from "../results.js";
import { hide, say } from "../../widgets/dom.js";
import { figure, html, mark, render, show } from "../../widgets/html.js";
import { paintCharts } from "./charts.js";
import * as rests from "./rests.js";
import { resultTable } from "../../core.js";
import * as motion from "./motion.js";
import { open } from "../../state/plan.js";
import { act, rackName, state, text } from "../../state/state.js";
import { words } from "../../words.js";

const TRIO = ["ratio_centre", "turns", "circle_centre"];

const part = (id) => document.getElementById(id);

/** Shows everything about the chosen rack. */
export function paint() {
  const { shown: view, shownPlan: plan } = state;
  const i = open.draft.chosen;
  const rack = view.racks[i];
  if (!rack) return;
  say(part("turning-sub"), words.turning.rackOf(rackName(i)));
  pick(view);
  verdict(rack, i);
  trio(rack, i);
  paintCharts(view, i, motion.paint(plan, i));
  findings(rack);
  figures(view, i);
}

function pick(view) {
  const place = part("turning-pick");
  hide(place, view.racks.length < 2);
  show(
    view.racks.map((_, i) => chip(i)),
    place,
  );
}

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

function verdict(rack, i) {
  const { kind, sentence, unchecked = [], assumed = [], unread = [], notices = [] } = rack.verdict;
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
    part("verdict"),
  );
}

function trio(rack, i) {
  const box = (name) => {
    const result = worse(rack, resultTable.get(name));
    const ok = result?.status === "ok";
    return html`
      <div data-trio=${name}>
        <p class="big" data-result=${ok ? hook(i, result) : null}>${figure(ok ? text(result.text) : words.strip.dash)}</p>
        <p class="name">${words.turning.trio[name]}</p>
      </div>
    `;
  };
  render(TRIO.map(box), part("trio"));
}

// ---- findings ----

// What counts and is wrong first, what counts and is good, then what could not be looked at.
const rank = (f) =>
  (f.judged === false ? 4 : 0) +
  ["fail", "close", "missing", "pass", "notice"].indexOf(f.kind === "notice" ? "close" : f.kind) -
  (f.kind === "notice" ? 3.5 : 0);

function findings(rack) {
  const list = rack.findings
    .map((f, n) => [f, n])
    .sort(([a, n], [b, m]) => rank(a) - rank(b) || n - m)
    .map(([f]) => f);
  render(list.length ? list.map(finding) : html`<li class="sub">${words.turning.noFindings}</li>`, part("findings"));
}

function finding(f) {
  const origin = f.origin && f.judged !== false ? `${words.turning.origin}: ${f.origin}` : "";
  const line = (said, kind = null) => (said ? html`<p class=${kind}>${said}</p>` : null);
  return html`
    <li class="find" data-finding=${[f.name, f.side].filter(Boolean).join(".")} data-kind=${f.kind} tabindex="-1">
      ${mark(f.kind)}
      <div>${line(text(f.title), "title")}${line(text(f.reason))}${line(text(f.remedy))}${line(origin, "origin")}</div>
    </li>
  `;
}

// ---- every figure ----

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
  ],
  circle: ["circle_centre", "circle_outer_rules", "circle_inner_rules", "circle_edge", "wall_to_wall", "rear_inner_edge"],
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
  ],
};
const groupOf = (name) => Object.keys(GROUPS).find((group) => GROUPS[group].includes(name)) ?? "reserve";

function figures(view, i) {
  const all = [...byName(view.racks[i])];
  const group = (key) => html`
    <details class="more" data-group=${key}>
      <summary>${words.turning.groups[key]}</summary>
      ${all.filter(([name]) => groupOf(name) === key).map(([name, shown]) => fact(name, shown, i))}
    </details>
  `;
  render([...Object.keys(GROUPS), "reserve"].map(group), part("figures"));
  rests.follow();
}

function fact(name, all, i) {
  const { label, explain } = resultTable.get(name);
  const same = all.length > 1 && all.every((r) => text(r.text) === text(all[0].text));
  const lines = [explain];
  for (const r of same ? all.slice(0, 1) : all) {
    if (r.status === "ok" && r.most) lines.push(words.turning.most(r.most, `${r.most_share} %`, same || !r.side ? "" : r.side));
    lines.push(...r.notes.map(words.turning.note));
  }
  const value = (r, n) => html`
    <span class="one" ?hidden=${same && n > 0}>
      <span class="side" ?hidden=${!r.side || (same && r.status !== "ok")}>${same ? words.turning.bothSides : r.side}</span> ${
        r.status === "ok"
          ? html`<span class="value" data-result=${hook(i, r)}>${figure(text(r.text))}</span>`
          : html`<span class="value why" data-result=${hook(i, r)}>${text(r.text)}</span>`
      }
    </span>
  `;
  return html`
    <details class="fact" data-fact=${name} @toggle=${rests.opened}>
      <summary><span class="label">${label}</span><span class="values">${all.map(value)}</span></summary>
      <div class="rest">${[...new Set(lines)].map((line) => html`<p>${line}</p>`)}</div>
      <div class="rests-on"></div>
    </details>
  `;
}

/** Goes to what the strip speaks of: the worst finding of the chosen rack. */
export function toReason() {
  const wrong = ["fail", "close"].map((kind) => document.querySelector(`#findings [data-kind=${kind}]`)).find(Boolean);
  const target = wrong ?? part("verdict");
  // The focus first: with it in a field, Turning is not laid out.
  target.focus({ preventScroll: true });
  target.scrollIntoView({ block: "center", behavior: matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth" });
}
