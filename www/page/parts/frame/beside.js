// A plan of one's own that came back changed, beside it: what differs, field by field, each taken over by a tap.

import { most } from "../../core.js";
import * as diff from "../../state/diff.js";
import { byId, findAll } from "../../widgets/dom.js";
import { html, render } from "../../widgets/html.js";
import { open } from "../../state/plan.js";
import { isFull } from "../../state/racks.js";
import { act } from "../../state/state.js";
import { words } from "../../words.js";

/** @import { Difference } from "../../../types/page" */

/** Shows what differs, each with its button. */
export function paint() {
  const place = byId("beside");
  const rows = diff.rows();
  place.hidden = rows === null;
  if (!rows) return;
  const buttons = () => findAll("button", place);
  const held = buttons().findIndex((button) => button === document.activeElement);
  render(content(rows), place);
  // The button of a difference that was taken over is gone: the focus goes to the next one.
  const now = buttons();
  if (held >= 0) now[Math.min(held, now.length - 1)].focus({ preventScroll: true });
}

/** @type {(what: string, label: string, run: () => void, more?: { named?: string | null, disabled?: boolean }) => unknown} */
const button = (what, label, run, { named = null, disabled = false } = {}) => html`
  <button
    type="button"
    class="quiet"
    data-focus=${`beside-${what}`}
    data-take=${what}
    aria-label=${named}
    ?disabled=${disabled}
    @click=${run}
  >
    ${label}
  </button>
`;

/** @type {(rows: Difference[]) => unknown} */
function content(rows) {
  const kind = diff.kind();
  // A full plan takes no further rack; all differences at once only where enough racks are removed by them.
  const more = rows.filter(({ key }) => key.startsWith("added.")).length;
  const fewer = rows.filter(({ key }) => /^racks\.\d+$/.test(key)).length;
  const disabled = open.draft.racks.length - fewer + more > most.racks;
  return html`
    <div class="in">
      <h2 id="beside-title">${kind ? words.diff.titles[kind] : words.diff.title}</h2>
      <p class="sub">${rows.length ? words.diff.count(rows.length) : words.diff.none}</p>
      <ul class="differs">${rows.map(differenceRow)}</ul>
      <div class="buttons">
        ${rows.length > 1 ? button("all", words.diff.all, () => act.takeOver(rows), { disabled }) : null}
        ${rows.length ? button("look", words.diff.look, act.lookAtTheirs) : null}
        ${button("away", words.diff.away, act.putAway)}
      </div>
    </div>
  `;
}

/** @type {(row: Difference) => unknown} */
function differenceRow(row) {
  const theirs = row.theirs || words.diff.nothing;
  const full = row.key.startsWith("added.") && isFull();
  return html`
    <li data-differs=${row.key}>
      <b class="what">${row.label}</b>
      <span class="mine"><small>${words.diff.mine}</small> <bdi>${row.mine || words.diff.nothing}</bdi></span>
      <span class="theirs"><small>${words.diff.theirs}</small> <bdi>${theirs}</bdi></span>
      ${
        full
          ? html`<small class="full">${words.diff.full}</small>`
          : button(row.key, words.diff.take, () => act.takeOver([row]), { named: words.diff.takeWhat(row.label, theirs) })
      }
    </li>
  `;
}
