// Side by side: a column a rack, a row a question.

import { figure, h, hide, mark, put, say, swap, tone } from "../widgets/dom.js";
import { rackName } from "./form.js";
import { open } from "../plan.js";
import { QUESTIONS, bestFirst, hook, question, results, worst } from "./results.js";
import { words } from "../words.js";

let order = null;
let shape = "";
let cells = [];

/** The racks that the ± cannot tell from rack `i` by a row. */
function alike(view, key, i) {
  const others = question(view, key).racks[i] ?? [];
  return words.compare.list(others.map(rackName));
}

/** Sorts the columns by a row, the best first; once more for the order of the plan. */
export function sortBy(key, view) {
  order = order === key ? null : key;
  const first = bestFirst(view, order)[0];
  return {
    row: words.compare.rows[key],
    first: first === undefined ? "" : rackName(first),
    on: order !== null,
    alike: first === undefined ? "" : alike(view, key, first),
  };
}

/** Shows the comparison. */
export function paint(view, text, act) {
  const place = document.getElementById("compare-table");
  const racks = bestFirst(view, order);
  const wanted = `${racks.join()}|${order}`;
  if (wanted !== shape || !place.firstChild) {
    shape = wanted;
    cells = [];
    swap(place, [racks.length ? build(view, racks, act) : h("p", { class: "sub" }, words.compare.none)]);
  }
  for (const { i, head } of cells.filter((c) => c.head)) {
    const { verdict } = view.racks[i];
    say(head.name, rackName(i));
    put(head.says, "class", `v ${tone(verdict.kind)}`);
    if (head.sign.dataset.kind !== verdict.kind) head.sign.replaceChildren(mark(verdict.kind));
    head.sign.dataset.kind = verdict.kind;
    say(head.says, text(verdict.head));
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
    const says = h("span", { class: "v" });
    const sign = h("span", { class: "sign" });
    const meant = h("span", { class: "tag marked", hidden: true });
    const button = h(
      "button",
      { type: "button", class: "choose-head", "data-choose": String(i), "data-focus": `head-${i}`, onclick: () => act.choose(i) },
      sign,
      h("span", {}, name, says, meant),
    );
    const th = h("th", { scope: "col" }, button);
    cells.push({ i, head: { name, says, sign, button, th, meant } });
    return th;
  });
  const rows = QUESTIONS.map((row) =>
    h(
      "tr",
      {},
      h(
        "th",
        { scope: "row" },
        h(
          "button",
          {
            type: "button",
            class: "sort",
            "data-sort": row,
            "data-focus": `sort-${row}`,
            "aria-pressed": String(order === row),
            onclick: () => act.sort(row),
          },
          words.compare.rows[row],
          order === row ? h("span", { class: "sorted", "aria-hidden": "true" }, " ▸") : null,
        ),
      ),
      racks.map((i) => {
        const td = h("td", {});
        cells.push({ i, row, td });
        return td;
      }),
    ),
  );
  return h(
    "table",
    {},
    h("thead", {}, h("tr", {}, h("th", { scope: "col", class: "corner" }, h("span", { class: "sr" }, words.compare.question)), heads)),
    h("tbody", {}, rows),
  );
}

function paintCell({ i, row, td }, view, text) {
  const rack = view.racks[i];
  if (row === "line") return paintLine(td, rack, i, text);
  const { findings, result } = question(view, row);
  const found = worst(rack, findings);
  const shown = result ? results(rack, result) : [];
  const ok = shown.filter((r) => r.status === "ok");
  const texts = ok.map((r) => text(r.text));
  const same = texts.length > 1 && texts.every((t) => t === texts[0]);
  const near = ok.length ? alike(view, row, i) : "";
  const lines = (same ? ok.slice(0, 1) : ok).map((r) => [ok.length > 1 && !same ? r.side : "", hook(i, r), text(r.text)]);
  const key = JSON.stringify([found?.kind, lines.map(([side, at]) => [side, at]), shown[0]?.why, near]);
  td.classList.toggle("pick", i === open.draft.chosen);
  td.classList.toggle("decides", rack.verdict.because !== "" && findings.includes(rack.verdict.because));
  if (td.dataset.key === key) {
    for (const [n, value] of td.querySelectorAll("[data-result]").entries()) figure(value, lines[n][2]);
    return;
  }
  td.dataset.key = key;
  const sign = found && found.kind !== "missing" ? mark(found.kind) : null;
  if (!result) {
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
    td.replaceChildren(
      h("div", { class: "cell" }, sign, h("div", {}, values, near ? h("span", { class: "alike" }, words.compare.alike(near)) : null)),
    );
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
  td.replaceChildren(
    h(
      "div",
      { class: "cell" },
      h("div", {}, h("b", {}, text(line.short) || words.compare.open), from ? h("span", { class: "alike" }, from) : null),
    ),
  );
}
