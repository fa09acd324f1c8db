// A plan of one's own that came back changed, beside it: what differs, field by field, each taken over by a tap.

import { most } from "../../core.js";
import * as diff from "../../state/diff.js";
import { html, render } from "../../widgets/html.js";
import { isFull, open } from "../../state/plan.js";
import { act } from "../../state/state.js";
import { words } from "../../words.js";

/** Shows what differs, each with its button. */
export function paint() {
  const place = document.getElementById("beside");
  const rows = diff.rows();
  place.hidden = rows === null;
  if (!rows) return;
  const buttons = () => [...place.querySelectorAll("button")];
  const held = buttons().indexOf(document.activeElement);
  render(told(rows), place);
  // What was taken over has no button any more: the next one has the focus.
  const now = buttons();
  if (held >= 0) now[Math.min(held, now.length - 1)].focus({ preventScroll: true });
}

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

function told(rows) {
  // A plan that holds as many racks as one may takes no other; all at once only where the others leave room for theirs.
  const more = rows.filter(({ key }) => key.startsWith("added.")).length;
  const fewer = rows.filter(({ key }) => /^racks\.\d+$/.test(key)).length;
  const disabled = open.draft.racks.length - fewer + more > most.racks;
  return html`
    <div class="in">
      <h2 id="beside-title">${words.diff.titles[diff.kind()] ?? words.diff.title}</h2>
      <p class="sub">${rows.length ? words.diff.count(rows.length) : words.diff.none}</p>
      <ul class="differs">${rows.map(one)}</ul>
      <div class="buttons">
        ${rows.length > 1 ? button("all", words.diff.all, () => act.take(rows), { disabled }) : null}
        ${rows.length ? button("look", words.diff.look, act.lookAtTheirs) : null}
        ${button("away", words.diff.away, act.putAway)}
      </div>
    </div>
  `;
}

function one(row) {
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
          : button(row.key, words.diff.take, () => act.take([row]), { named: words.diff.takeWhat(row.label, theirs) })
      }
    </li>
  `;
}
