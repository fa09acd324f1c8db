// Turning: the moving axle, the charts, what to mind, every figure. Positions, curves and words come from the core.

import { byName, hook, worse } from "../results.js";
import { figure, h, hide, mark, put, say, swap } from "../../widgets/dom.js";
import { paintCharts } from "./charts.js";
import { rackName } from "../form.js";
import * as rests from "./rests.js";
import { resultTable } from "../../core.js";
import * as motion from "./motion.js";
import { open } from "../../plan.js";
import { words } from "../../words.js";

const TRIO = ["ratio_centre", "turns", "circle_centre"];

const part = (id) => document.getElementById(id);

/** Shows everything about the chosen rack. `plan` is what the view was worked out from. */
export function paint(view, plan, text, act) {
  const i = open.draft.chosen;
  const rack = view.racks[i];
  if (!rack) return;
  say(part("turning-sub"), words.turning.rackOf(rackName(i)));
  pick(view, act);
  verdict(rack, i, text);
  trio(rack, i, text);
  paintCharts(view, i, text, motion.paint(plan, i, text));
  findings(rack, i, text);
  rests.of(plan, i, text);
  figures(view, i, text);
}

function pick(view, act) {
  const place = part("turning-pick");
  const key = `${view.racks.map((_, i) => rackName(i)).join("\n")}|${open.draft.chosen}`;
  if (place.dataset.key === key) return;
  place.dataset.key = key;
  place.hidden = view.racks.length < 2;
  swap(
    place,
    view.racks.map((_, i) =>
      h(
        "button",
        {
          type: "button",
          class: "chip",
          "data-focus": `pick-${i}`,
          "data-pick": String(i),
          "aria-pressed": String(i === open.draft.chosen),
          onclick: () => act.choose(i),
        },
        rackName(i),
      ),
    ),
  );
}

function verdict(rack, i, text) {
  const place = part("verdict");
  const { kind, sentence, unchecked = [], assumed = [], unread = [], notices = [] } = rack.verdict;
  const line = text(rack.line.text);
  const key = JSON.stringify([i, kind, text(sentence), unchecked, assumed, unread, notices.map(text), line]);
  if (place.dataset.key === key) return;
  place.dataset.key = key;
  place.replaceChildren(
    mark(kind),
    h(
      "div",
      {},
      h("p", { class: "sentence", "data-verdict": String(i), "data-kind": kind }, text(sentence)),
      notices.map((notice) => h("p", { class: "rest notice" }, mark("notice"), h("span", {}, text(notice)))),
      line ? h("p", { class: "rest" }, line) : null,
      unchecked.length ? h("p", { class: "rest" }, `${words.turning.unchecked}: ${unchecked.join(", ")}.`) : null,
      assumed.length ? h("p", { class: "rest" }, `${words.turning.assumed}: ${assumed.join(", ")}.`) : null,
      unread.length ? h("p", { class: "rest" }, `${words.turning.unread}: ${unread.join(", ")}.`) : null,
    ),
  );
}

function trio(rack, i, text) {
  const place = part("trio");
  if (!place.firstChild)
    place.append(
      ...TRIO.map((name) => h("div", { "data-trio": name }, h("p", { class: "big" }), h("p", { class: "name" }, words.turning.trio[name]))),
    );
  for (const box of place.children) {
    const result = worse(rack, resultTable.get(box.dataset.trio));
    const big = box.querySelector(".big");
    const ok = result?.status === "ok";
    put(big, "data-result", ok ? hook(i, result) : null);
    figure(big, ok ? text(result.text) : words.strip.dash);
  }
}

// ---- findings ----

// What counts and is wrong first, what counts and is good, then what could not be looked at.
const rank = (f) =>
  (f.judged === false ? 4 : 0) +
  ["fail", "close", "missing", "pass", "notice"].indexOf(f.kind === "notice" ? "close" : f.kind) -
  (f.kind === "notice" ? 3.5 : 0);

function findings(rack, i, text) {
  const place = part("findings");
  const list = rack.findings
    .map((f, n) => [f, n])
    .sort(([a, n], [b, m]) => rank(a) - rank(b) || n - m)
    .map(([f]) => f);
  for (const [n, f] of list.entries()) {
    const origin = f.origin && f.judged !== false ? `${words.turning.origin}: ${f.origin}` : "";
    const lines = [
      ["title", text(f.title)],
      [null, text(f.reason)],
      [null, text(f.remedy)],
      ["origin", origin],
    ].filter(([, line]) => line);
    const shape = JSON.stringify([f.name, f.side, f.kind, lines.map(([kind]) => kind)]);
    const old = place.children[n];
    if (old?.dataset.shape === shape) {
      for (const [k, p] of [...old.lastElementChild.children].entries()) say(p, lines[k][1]);
      continue;
    }
    const item = h(
      "li",
      {
        class: "find",
        "data-finding": [f.name, f.side].filter(Boolean).join("."),
        "data-kind": f.kind,
        "data-shape": shape,
        tabindex: "-1",
      },
      mark(f.kind),
      h(
        "div",
        {},
        lines.map(([kind, line]) => h("p", { class: kind }, line)),
      ),
    );
    if (old) old.replaceWith(item);
    else place.append(item);
  }
  while (place.children.length > list.length) place.lastElementChild.remove();
  if (!list.length) place.append(h("li", { class: "sub" }, words.turning.noFindings));
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

let facts = new Map();

function figures(view, i, text) {
  const by = byName(view.racks[i]);
  if (!facts.size) {
    facts = new Map([...by].map(([name, all]) => [name, fact(name, all.length)]));
    part("figures").replaceChildren(
      ...[...Object.keys(GROUPS), "reserve"].map((group) =>
        h(
          "details",
          { class: "more", "data-group": group },
          h("summary", {}, words.turning.groups[group]),
          [...facts].filter(([name]) => groupOf(name) === group).map(([, f]) => f.root),
        ),
      ),
    );
  }
  for (const [name, all] of by) paintFact(facts.get(name), all, i, text);
}

function fact(name, count) {
  const { label, explain } = resultTable.get(name);
  const values = Array.from({ length: count }, () => ({ side: h("span", { class: "side" }), value: h("span", { class: "value" }) }));
  for (const v of values) v.root = h("span", { class: "one" }, v.side, " ", v.value);
  const rest = h("div", { class: "rest" });
  const root = h(
    "details",
    { class: "fact", "data-fact": name },
    h(
      "summary",
      {},
      h("span", { class: "label" }, label),
      h(
        "span",
        { class: "values" },
        values.map((v) => v.root),
      ),
    ),
    rest,
  );
  const base = rests.place(name, root);
  root.append(base.list);
  return { explain, values, rest, root, base };
}

function paintFact(parts, all, i, text) {
  const texts = all.map((r) => text(r.text));
  const same = all.length > 1 && texts.every((t) => t === texts[0]);
  for (const [n, result] of all.entries()) {
    const { side, value, root } = parts.values[n];
    put(value, "data-result", hook(i, result));
    put(value, "class", result.status === "ok" ? "value" : "value why");
    if (result.status === "ok") figure(value, texts[n]);
    else say(value, texts[n]);
    say(side, same ? words.turning.bothSides : result.side);
    hide(side, !result.side || (same && result.status !== "ok"));
    hide(root, same && n > 0);
  }
  rests.follow(
    parts.base,
    all.map((r, n) => [n, all.length > 1 ? r.side : ""]),
  );
  const lines = [parts.explain];
  for (const r of same ? all.slice(0, 1) : all) {
    if (r.status === "ok" && r.most) lines.push(words.turning.most(r.most, `${r.most_share} %`, same || !r.side ? "" : r.side));
    lines.push(...r.notes.map(words.turning.note));
  }
  const key = lines.join("\n");
  if (parts.rest.dataset.key === key) return;
  parts.rest.dataset.key = key;
  parts.rest.replaceChildren(...[...new Set(lines)].map((line) => h("p", {}, line)));
}

/** Goes to what the strip speaks of: the worst finding of the chosen rack. */
export function toReason() {
  const wrong = ["fail", "close"].map((kind) => document.querySelector(`#findings [data-kind=${kind}]`)).find(Boolean);
  const target = wrong ?? part("verdict");
  // The focus first: with it in a field, Turning is not laid out.
  target.focus({ preventScroll: true });
  target.scrollIntoView({ block: "center", behavior: matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth" });
}
