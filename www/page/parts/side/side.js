// Side by side: a table with a column for each rack and a row for each question.

import { byId } from "../../widgets/dom.js";
import { figure, html, mark, renderKeepingFocus, textTone } from "../../widgets/html.js";
import { open } from "../../state/plan.js";
import { bestFirst, figureId, question, questions, results, worst } from "../results.js";
import { act, rackName, state, text } from "../../state/state.js";
import { words } from "../../words.js";

/** @import { Answer } from "../../../types/page" */
/** @type {Record<string, string>} */
const ROWS = words.compare.rows;

/**
 * The names of the racks that cannot be told apart from rack `i` within the ±, by one question.
 * @type {(view: Answer, key: string, i: number) => string}
 */
function alikeRacks(view, key, i) {
  const others = question(view, key).racks[i] ?? [];
  return words.compare.list(others.map(rackName));
}

/**
 * Sorts the columns by a question, the best first; a second time by the order of the plan. Returns what is to be announced.
 * @type {(key: string) => { row: string, first: string, on: boolean, alike: string }}
 */
export function sortBy(key) {
  const view = state.shown;
  state.sortedBy = state.sortedBy === key ? null : key;
  const first = view ? bestFirst(view, state.sortedBy)[0] : undefined;
  return {
    row: ROWS[key],
    first: first === undefined ? "" : rackName(first),
    on: state.sortedBy !== null,
    alike: view && first !== undefined ? alikeRacks(view, key, first) : "",
  };
}

/** Shows the comparison. */
export function paint() {
  const view = state.shown;
  if (!view) return;
  const racks = bestFirst(view, state.sortedBy);
  renderKeepingFocus(racks.length ? table(view, racks) : html`<p class="sub">${words.compare.none}</p>`, byId("compare-table"));
}

/** @type {(view: Answer, racks: number[]) => unknown} */
const table = (view, racks) => html`
  <table>
    <thead>
      <tr><th scope="col" class="corner"><span class="sr">${words.compare.question}</span></th>${racks.map((i) => head(view, i))}</tr>
    </thead>
    <tbody>${questions(view).map((key) => html`<tr>${questionHead(key)}${racks.map((i) => (key === "line" ? lineCell(view, i) : cell(view, key, i)))}</tr>`)}</tbody>
  </table>
`;

/** @type {(view: Answer, i: number) => unknown} */
function head(view, i) {
  const { kind, head: says } = view.racks[i].verdict;
  const meant = open.draft.racks[i]?.mark;
  const shown = i === open.draft.chosen;
  return html`
    <th scope="col" class=${shown ? "pick" : ""}>
      <button
        type="button"
        class="choose-head"
        data-choose=${i}
        data-focus=${`head-${i}`}
        aria-pressed=${String(shown)}
        @click=${() => act.choose(i)}
      >
        <span class="sign" data-kind=${kind}>${mark(kind)}</span>
        <span>
          <span class="n">${rackName(i)}</span>
          <span class=${`v ${textTone(kind)}`}>${text(says)}</span>
          <span class="tag marked" ?hidden=${!meant}>${words.rack.marks[meant ?? ""] ?? ""}</span>
        </span>
      </button>
    </th>
  `;
}

/** @type {(key: string) => unknown} */
function questionHead(key) {
  const on = state.sortedBy === key;
  return html`
    <th scope="row">
      <button
        type="button"
        class="sort"
        data-sort=${key}
        data-focus=${`sort-${key}`}
        aria-pressed=${String(on)}
        @click=${() => act.sortBy(key)}
      >
        ${ROWS[key]}${on ? html`<span class="sorted" aria-hidden="true"> ▸</span>` : null}
      </button>
    </th>
  `;
}

/** @type {(kind: string | undefined) => string} */
const yesOrNo = (kind) => (kind === "pass" ? words.compare.yes : kind === "fail" ? words.compare.no : words.compare.open);

/** @type {(view: Answer, key: string, i: number) => unknown} */
function cell(view, key, i) {
  const rack = view.racks[i];
  const { findings, result } = question(view, key);
  const found = worst(rack, findings);
  const all = result ? results(rack, result) : [];
  const ok = all.filter((r) => r.status === "ok");
  const same = ok.length > 1 && ok.every((r) => text(r.text) === text(ok[0].text));
  const near = ok.length ? alikeRacks(view, key, i) : "";
  const decides = rack.verdict.because !== "" && findings.includes(rack.verdict.because);
  const sign = found && found.kind !== "missing" ? mark(found.kind) : null;
  let inside = html`<div class="why">${all[0]?.why || words.compare.open}</div>`;
  if (!result) inside = html`${sign}<div><b>${yesOrNo(found?.kind)}</b></div>`;
  else if (ok.length)
    inside = html`
      ${sign}
      <div>
        ${(same ? ok.slice(0, 1) : ok).map(
          (r) => html`
            <div class="line">
              ${ok.length > 1 && !same && r.side ? html`<span class="side">${r.side}</span>` : null}
              <span data-result=${figureId(i, r)}>${figure(text(r.text))}</span>
            </div>
          `,
        )}
        ${near ? html`<span class="alike">${words.compare.alike(near)}</span>` : null}
      </div>
    `;
  return html`<td class=${[i === open.draft.chosen && "pick", decides && "decides"].filter(Boolean).join(" ")}><div class="cell">${inside}</div></td>`;
}

// The rack line, and where it comes from.
/** @type {(view: Answer, i: number) => unknown} */
function lineCell(view, i) {
  const { short, status } = view.racks[i].line;
  const from = words.compare.line[status] ?? "";
  return html`
    <td class=${i === open.draft.chosen ? "pick" : ""}>
      <div class="cell">
        <div><b>${text(short) || words.compare.open}</b>${from ? html`<span class="alike">${from}</span>` : null}</div>
      </div>
    </td>
  `;
}
