// Side by side: a column a rack, a row a question.

import { figure, html, mark, show, tone } from "../../widgets/html.js";
import { open } from "../../state/plan.js";
import { QUESTIONS, bestFirst, hook, question, results, worst } from "../results.js";
import { act, rackName, state, text } from "../../state/state.js";
import { words } from "../../words.js";

/** The racks that the ± cannot tell from rack `i` by a row. */
function alike(view, key, i) {
  const others = question(view, key).racks[i] ?? [];
  return words.compare.list(others.map(rackName));
}

/** Sorts the columns by a row, the best first; once more for the order of the plan. Tells what is to be said of it. */
export function sortBy(key) {
  const view = state.shown;
  state.sorted = state.sorted === key ? null : key;
  const first = bestFirst(view, state.sorted)[0];
  return {
    row: words.compare.rows[key],
    first: first === undefined ? "" : rackName(first),
    on: state.sorted !== null,
    alike: first === undefined ? "" : alike(view, key, first),
  };
}

/** Shows the comparison. */
export function paint() {
  const view = state.shown;
  const racks = bestFirst(view, state.sorted);
  show(racks.length ? table(view, racks) : html`<p class="sub">${words.compare.none}</p>`, document.getElementById("compare-table"));
}

const table = (view, racks) => html`
  <table>
    <thead>
      <tr><th scope="col" class="corner"><span class="sr">${words.compare.question}</span></th>${racks.map((i) => head(view, i))}</tr>
    </thead>
    <tbody>${QUESTIONS.map((key) => html`<tr>${asked(key)}${racks.map((i) => (key === "line" ? line(view, i) : cell(view, key, i)))}</tr>`)}</tbody>
  </table>
`;

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
          <span class=${`v ${tone(kind)}`}>${text(says)}</span>
          <span class="tag marked" ?hidden=${!meant}>${words.rack.marks[meant] ?? ""}</span>
        </span>
      </button>
    </th>
  `;
}

function asked(key) {
  const on = state.sorted === key;
  return html`
    <th scope="row">
      <button
        type="button"
        class="sort"
        data-sort=${key}
        data-focus=${`sort-${key}`}
        aria-pressed=${String(on)}
        @click=${() => act.sort(key)}
      >
        ${words.compare.rows[key]}${on ? html`<span class="sorted" aria-hidden="true"> ▸</span>` : null}
      </button>
    </th>
  `;
}

function cell(view, key, i) {
  const rack = view.racks[i];
  const { findings, result } = question(view, key);
  const found = worst(rack, findings);
  const all = result ? results(rack, result) : [];
  const ok = all.filter((r) => r.status === "ok");
  const same = ok.length > 1 && ok.every((r) => text(r.text) === text(ok[0].text));
  const near = ok.length ? alike(view, key, i) : "";
  const decides = rack.verdict.because !== "" && findings.includes(rack.verdict.because);
  const sign = found && found.kind !== "missing" ? mark(found.kind) : null;
  let inside = html`<div class="why">${all[0]?.why || words.compare.open}</div>`;
  if (!result)
    inside = html`${sign}<div><b>${{ pass: words.compare.yes, fail: words.compare.no }[found?.kind] ?? words.compare.open}</b></div>`;
  else if (ok.length)
    inside = html`
      ${sign}
      <div>
        ${(same ? ok.slice(0, 1) : ok).map(
          (r) => html`
            <div class="line">
              ${ok.length > 1 && !same && r.side ? html`<span class="side">${r.side}</span>` : null}
              <span data-result=${hook(i, r)}>${figure(text(r.text))}</span>
            </div>
          `,
        )}
        ${near ? html`<span class="alike">${words.compare.alike(near)}</span>` : null}
      </div>
    `;
  return html`<td class=${[i === open.draft.chosen && "pick", decides && "decides"].filter(Boolean).join(" ")}><div class="cell">${inside}</div></td>`;
}

// Where the rack sits, and from where to where it may.
function line(view, i) {
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
