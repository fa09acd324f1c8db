// Side by side: a column a rack, a row a question.

import { figure, h, hide, mark, put, say, swap, tone } from "../widgets/dom.js";
import { rackName } from "./form.js";
import { open } from "../plan.js";
import { words } from "../words.js";

// What each row shows: a result, or the outcome of a finding alone; `low` when the smaller is the better.
const ROWS = [
  { key: "direction", finding: ["direction", "opposed"] },
  { key: "line", line: true, finding: [] },
  { key: "lock", result: "lock_inner", finding: ["lock"] },
  { key: "circle", result: "circle_centre", finding: ["circle_max"], low: true },
  { key: "reserve", result: "reserve_hardware", finding: ["reserve"] },
  { key: "transmission", result: "transmission_least", finding: ["transmission"] },
  { key: "ratio", result: "ratio_centre", finding: ["ratio_min", "ratio_max"], low: true },
  { key: "turns", result: "turns", finding: ["turns_min", "turns_max"], low: true },
  { key: "ackermann", result: "ackermann_angle", finding: ["ackermann_min", "ackermann_max"] },
];
const BADNESS = ["fail", "close", "missing", "pass"];

let order = null;
let shape = "";
let cells = [];

const sorted = new WeakMap();

/** The results of a rack by name, one or two of each. */
export function byName(rack) {
  if (!sorted.has(rack)) {
    const by = new Map();
    for (const r of rack.results) by.has(r.name) ? by.get(r.name).push(r) : by.set(r.name, [r]);
    sorted.set(rack, by);
  }
  return sorted.get(rack);
}

/** The results of one name. */
export const results = (rack, name) => byName(rack).get(name) ?? [];

/** The worst finding of the given names. */
function worst(rack, names) {
  const found = rack.findings.filter((f) => f.judged !== false && names.some((name) => f.name === name || f.name.startsWith(`${name}.`)));
  return found.sort((a, b) => BADNESS.indexOf(a.kind) - BADNESS.indexOf(b.kind))[0] ?? null;
}

/** The racks that the ± cannot tell from rack `i` by a row. */
function alike(view, key, i) {
  const others = view.alike?.find((a) => a.key === key)?.racks[i] ?? [];
  return words.compare.list(others.map(rackName));
}

function worth(rack, row) {
  if (row.line) return rack.line.status === "found" ? rack.line.to - rack.line.from : -1;
  if (!row.result) return BADNESS.indexOf(worst(rack, row.finding)?.kind ?? "missing") - 10;
  const values = results(rack, row.result).filter((r) => r.status === "ok" && r.value !== null).map((r) => r.value);
  return values.length ? (row.low ? -Math.max(...values) : Math.min(...values)) : -Infinity;
}

/** Sorts the columns by a row, the best first; once more for the order of the plan. */
export function sortBy(key, view) {
  order = order === key ? null : key;
  const first = columns(view)[0];
  return { row: words.compare.rows[key], first: first === undefined ? "" : rackName(first), on: order !== null, alike: first === undefined ? "" : alike(view, key, first) };
}

function columns(view) {
  const all = view.racks.map((_, i) => i);
  const row = ROWS.find((r) => r.key === order);
  return row ? all.sort((a, b) => worth(view.racks[b], row) - worth(view.racks[a], row)) : all;
}

/** Shows the comparison. */
export function paint(view, text, act) {
  const place = document.getElementById("compare-table");
  const racks = columns(view);
  const wanted = `${racks.join()}|${order}`;
  if (wanted !== shape || !place.firstChild) {
    shape = wanted;
    cells = [];
    swap(place, [racks.length ? build(view, racks, act) : h("p", { class: "sub" }, words.compare.none)]);
  }
  for (const { i, head } of cells.filter((c) => c.head)) {
    const { verdict } = view.racks[i];
    say(head.name, rackName(i));
    put(head.words, "class", `v ${tone(verdict.kind)}`);
    if (head.sign.dataset.kind !== verdict.kind) head.sign.replaceChildren(mark(verdict.kind));
    head.sign.dataset.kind = verdict.kind;
    say(head.words, text(verdict.head));
    put(head.button, "aria-pressed", String(i === open.draft.chosen));
    head.th.classList.toggle("pick", i === open.draft.chosen);
    say(head.meant, words.rack.marks[open.draft.racks[i]?.mark] ?? "");
    hide(head.meant, !open.draft.racks[i]?.mark);
  }
  for (const cell of cells.filter((c) => c.row)) paintCell(cell, view, text);
}

function build(view, racks, act) {
  const heads = racks.map((i) => {
    const name = h("span", { class: "n" });
    const words_ = h("span", { class: "v" });
    const sign = h("span", { class: "sign" });
    const meant = h("span", { class: "tag marked", hidden: true });
    const button = h("button", { type: "button", class: "choose-head", "data-choose": String(i), "data-focus": `head-${i}`, onclick: () => act.choose(i) }, sign, h("span", {}, name, words_, meant));
    const th = h("th", { scope: "col" }, button);
    cells.push({ i, head: { name, words: words_, sign, button, th, meant } });
    return th;
  });
  const rows = ROWS.map((row) => h("tr", {},
    h("th", { scope: "row" }, h("button", { type: "button", class: "sort", "data-sort": row.key, "data-focus": `sort-${row.key}`, "aria-pressed": String(order === row.key), onclick: () => act.sort(row.key) },
      words.compare.rows[row.key], order === row.key ? h("span", { class: "sorted", "aria-hidden": "true" }, " ▸") : null)),
    racks.map((i) => {
      const td = h("td", {});
      cells.push({ i, row, td });
      return td;
    })));
  return h("table", {}, h("thead", {}, h("tr", {}, h("th", { scope: "col", class: "corner" }, h("span", { class: "sr" }, words.compare.question)), heads)), h("tbody", {}, rows));
}

function paintCell({ i, row, td }, view, text) {
  const rack = view.racks[i];
  if (row.line) return paintLine(td, rack, i, text);
  const found = worst(rack, row.finding);
  const shown = row.result ? results(rack, row.result) : [];
  const ok = shown.filter((r) => r.status === "ok");
  const texts = ok.map((r) => text(r.text));
  const same = texts.length > 1 && texts.every((t) => t === texts[0]);
  const near = ok.length ? alike(view, row.key, i) : "";
  const lines = (same ? ok.slice(0, 1) : ok).map((r) => [ok.length > 1 && !same ? r.side : "", hook(i, r), text(r.text)]);
  const key = JSON.stringify([found?.kind, lines.map(([side, at]) => [side, at]), shown[0]?.why, near]);
  td.classList.toggle("pick", i === open.draft.chosen);
  td.classList.toggle("decides", rack.verdict.because !== "" && row.finding.includes(rack.verdict.because));
  if (td.dataset.key === key) {
    for (const [n, value] of td.querySelectorAll("[data-result]").entries()) figure(value, lines[n][2]);
    return;
  }
  td.dataset.key = key;
  const sign = found && found.kind !== "missing" ? mark(found.kind) : null;
  if (!row.result) {
    const answer = { pass: words.compare.yes, fail: words.compare.no }[found?.kind] ?? words.compare.open;
    td.replaceChildren(h("div", { class: "cell" }, sign, h("div", {}, h("b", {}, answer))));
  } else if (!ok.length) {
    td.replaceChildren(h("div", { class: "cell" }, h("div", { class: "why" }, shown[0]?.why || words.compare.open)));
  } else {
    const values = lines.map(([side, at, shown]) => {
      const value = h("span", { "data-result": at });
      figure(value, shown);
      return h("div", { class: "line" }, side ? h("span", { class: "side" }, side) : null, value);
    });
    td.replaceChildren(h("div", { class: "cell" }, sign, h("div", {}, values, near ? h("span", { class: "alike" }, words.compare.alike(near)) : null)));
  }
}

// Where the rack sits, and from where to where it may.
function paintLine(td, rack, i, text) {
  const { line } = rack;
  const from = words.compare.line[line.status] ?? "";
  td.classList.toggle("pick", i === open.draft.chosen);
  const key = JSON.stringify([text(line.short), from]);
  if (td.dataset.key === key) return;
  td.dataset.key = key;
  td.replaceChildren(h("div", { class: "cell" }, h("div", {}, h("b", {}, text(line.short) || words.compare.open), from ? h("span", { class: "alike" }, from) : null)));
}

/** The name by which a shown figure can be found: rack, result, side. */
export const hook = (i, result) => [i, result.name, result.side].filter((part) => part !== "" && part !== null && part !== undefined).join(".");
