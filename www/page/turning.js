// Turning: the axle at lock from above, toe-out, what to mind, every figure. Positions, curves and words come from the core.

import { hook, results } from "./compare.js";
import { figure, h, mark, put, say, swap } from "./dom.js";
import { axleDrawing, wholeCar } from "./axle.js";
import { paintChart } from "./toe.js";
import { rackName } from "./form.js";
import { Refused, axle, resultTable } from "./core.js";
import { open } from "./plan.js";
import { words } from "./words.js";

const POSITIONS = [["left", 1], ["straight", 0], ["right", -1]];
const TRIO = ["ratio_centre", "turns", "circle_centre"];
let at = 1;
let drawn = "";

const part = (id) => document.getElementById(id);

/** Shows everything about the chosen rack. `plan` is what the view was worked out from. */
export function paint(view, plan, text, act) {
  const i = open.draft.chosen;
  const rack = view.racks[i];
  part("turning").hidden = !rack;
  if (!rack) return;
  say(part("turning-sub"), words.turning.rackOf(rackName(i)));
  pick(view, act);
  verdict(rack, i, text);
  trio(rack, i, text);
  drawing(plan, i, text, act);
  paintChart(view, i, text);
  findings(rack, i, text);
  figures(view, i, text);
}

function pick(view, act) {
  const place = part("turning-pick");
  const key = `${view.racks.map((_, i) => rackName(i)).join("\n")}|${open.draft.chosen}`;
  if (place.dataset.key === key) return;
  place.dataset.key = key;
  place.hidden = view.racks.length < 2;
  swap(place, view.racks.map((_, i) =>
    h("button", { type: "button", class: "chip", "data-focus": `pick-${i}`, "data-pick": String(i), "aria-pressed": String(i === open.draft.chosen), onclick: () => act.choose(i) }, rackName(i))));
}

function verdict(rack, i, text) {
  const place = part("verdict");
  const { kind, sentence, unchecked = [], assumed = [] } = rack.verdict;
  const key = JSON.stringify([i, kind, text(sentence), unchecked, assumed]);
  if (place.dataset.key === key) return;
  place.dataset.key = key;
  place.replaceChildren(mark(kind), h("div", {},
    h("p", { class: "sentence", "data-verdict": String(i), "data-kind": kind }, text(sentence)),
    unchecked.length ? h("p", { class: "rest" }, `${words.turning.unchecked}: ${unchecked.join(", ")}.`) : null,
    assumed.length ? h("p", { class: "rest" }, `${words.turning.assumed}: ${assumed.join(", ")}.`) : null));
}

/** The result of a name that a short place shows: the one without a side, else the worse of the two. */
export function worse(rack, name) {
  const all = results(rack, name);
  const ok = all.filter((r) => r.status === "ok" && r.value !== null);
  return ok.sort((a, b) => b.value - a.value)[0] ?? all[0] ?? null;
}

function trio(rack, i, text) {
  const place = part("trio");
  if (!place.firstChild) place.append(...TRIO.map((name) => h("div", { "data-trio": name }, h("p", { class: "big" }), h("p", { class: "name" }, words.turning.trio[name]))));
  for (const box of place.children) {
    const result = worse(rack, box.dataset.trio);
    const big = box.querySelector(".big");
    const ok = result?.status === "ok";
    put(big, "data-result", ok ? hook(i, result) : null);
    figure(big, ok ? text(result.text) : words.strip.dash);
  }
}

// ---- the drawing ----

function drawing(plan, i, text, act) {
  const buttons = part("positions");
  if (!buttons.firstChild) {
    buttons.append(...POSITIONS.map(([name, share]) => h("button", { type: "button", "data-lock": name, onclick: () => { at = share; act.redraw(); } }, words.turning[name])));
  }
  for (const [k, button] of [...buttons.children].entries()) put(button, "aria-pressed", String(POSITIONS[k][1] === at));
  const seen = position(plan, i);
  const key = JSON.stringify([seen, rackName(i), text({ mm: "mm", inch: "inch" })]);
  if (key === drawn) return;
  drawn = key;
  const caption = part("axle-caption");
  if (!seen.wheels) {
    part("axle").replaceChildren();
    part("whole").replaceChildren();
    part("whole-figure").hidden = true;
    say(caption, words.turning.noPlan(seen.reason));
    return;
  }
  say(caption, text(seen.caption));
  part("axle").replaceChildren(axleDrawing(seen, words.turning.drawing(rackName(i), text(seen.caption))));
  const whole = wholeCar(seen, words.turning.whole);
  part("whole-figure").hidden = !whole;
  part("whole").replaceChildren(...(whole ? [whole] : []));
}

// Where everything stands, or why it stands nowhere.
function position(plan, i) {
  try {
    return axle(plan, i, at);
  } catch (error) {
    if (error instanceof Refused) return { reason: error.message };
    throw error;
  }
}

// ---- findings ----

const RANK = ["fail", "close", "missing", "pass"];

function findings(rack, i, text) {
  const place = part("findings");
  const list = rack.findings.map((f, n) => [f, n]).sort(([a, n], [b, m]) => RANK.indexOf(a.kind) - RANK.indexOf(b.kind) || n - m).map(([f]) => f);
  const key = JSON.stringify([i, list.map((f) => [f.name, f.side, f.kind, text(f.title), text(f.reason), f.origin, text(f.remedy)])]);
  if (place.dataset.key === key) return;
  place.dataset.key = key;
  place.replaceChildren(...(list.length ? list.map((f) => h("li", { class: "find", "data-finding": [f.name, f.side].filter(Boolean).join("."), "data-kind": f.kind, tabindex: "-1" }, mark(f.kind), h("div", {},
    h("p", { class: "title" }, text(f.title)), text(f.reason) ? h("p", {}, text(f.reason)) : null, text(f.remedy) ? h("p", {}, text(f.remedy)) : null,
    f.origin && f.judged !== false ? h("p", { class: "origin" }, `${words.turning.origin}: ${f.origin}`) : null))) : [h("li", { class: "sub" }, words.turning.noFindings)]));
}

// ---- every figure ----

let rows = new Map();
let listed = "";

function figures(view, i, text) {
  const place = part("figures");
  const all = view.racks[i].results;
  const wanted = `${i}|${all.map((r) => hook(i, r)).join()}`;
  if (wanted !== listed) {
    const unfolded = new Set([...rows].filter(([, row]) => row.root.open).map(([name]) => name));
    listed = wanted;
    rows = new Map(all.map((r) => [hook(i, r), row(unfolded.has(hook(i, r)))]));
    swap(place, [...rows.values()].map((r) => r.root));
  }
  for (const result of all) paintRow(rows.get(hook(i, result)), hook(i, result), result, text);
}

function row(unfolded) {
  const parts = { label: h("span", { class: "label" }), value: h("span", { class: "value" }), rest: h("div", { class: "rest" }) };
  parts.root = h("details", { class: "fact", open: unfolded }, h("summary", {}, parts.label, parts.value), parts.rest);
  return parts;
}

function paintRow(parts, name, result, text) {
  const ok = result.status === "ok";
  const { label, explain } = resultTable.get(result.name);
  say(parts.label, result.side ? `${label}, ${result.side}` : label);
  put(parts.value, "data-result", name);
  put(parts.value, "class", ok ? "value" : "value why");
  if (ok) figure(parts.value, text(result.text));
  else say(parts.value, text(result.text));
  const lines = [explain, ok && result.most ? words.turning.most(result.most, `${result.most_share} %`) : "", ...(result.notes ?? [])].filter(Boolean);
  const key = lines.join("\n");
  if (parts.rest.dataset.key === key) return;
  parts.rest.dataset.key = key;
  parts.rest.replaceChildren(...lines.map((line) => h("p", {}, line)));
}

/** Goes to what the strip speaks of: the worst finding of the chosen rack. */
export function toReason() {
  const target = document.querySelector("#findings [data-finding]") ?? part("verdict");
  target.scrollIntoView({ block: "center", behavior: matchMedia("(prefers-reduced-motion: reduce)").matches ? "auto" : "smooth" });
  target.focus({ preventScroll: true });
}
