// What every change ends with: everything is worked out and shown; once a field is left or a button pressed the address follows, too.

import { hasMany } from "../core.js";
import * as fields from "../widgets/fields.js";
import { announce } from "../widgets/note.js";
import * as parts from "../parts/parts.js";
import { fragments, writeAddress } from "../state/address.js";
import { endStep } from "../state/history.js";
import { open } from "../state/plan.js";
import * as row from "../parts/frame/row.js";
import * as share from "../share.js";
import { askCore, notify, fieldEntered, fieldLeft, rackName, state, text, evaluateDraft } from "../state/state.js";
import { words } from "../words.js";

/** Works everything out and shows it; while somebody is typing, the racks that are not shown and what is out of sight follow in a pause. */
export function refresh(typing = false) {
  askCore(() => {
    evaluateDraft(typing, fields.focusedPath());
    share.follow();
  });
  notify(typing);
}

/**
 * A button was pressed or a field `left`: the address follows, the verdict is announced if it changed. Where a key has left many racks behind, they
 * follow in the pause that runs, unless a button was pressed.
 * @type {(left?: boolean) => void}
 */
export function commit(left = false) {
  endStep();
  state.recovered = "";
  fieldLeft();
  refresh(left && Boolean(state.view?.pending) && hasMany(open.draft));
  const path = fields.focusedPath();
  if (path) fieldEntered(path);
  followAddress();
  const verdict = state.view?.racks[open.draft.chosen]?.verdict;
  const sentence = verdict
    ? words.said.verdict(rackName(open.draft.chosen), text(verdict.kind === "needs" ? verdict.head : verdict.sentence))
    : "";
  if (sentence && sentence !== state.announced) announce(sentence);
  state.announced = sentence;
}

/** The address follows plan and part, unless it holds a link that cannot be read; so does every link to a part. */
export function followAddress() {
  const at = fragments();
  if (!state.linkProblem) writeAddress(at(parts.chosen()));
  row.updateLinks(at);
}

/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

/** Without room for the last changes the address alone holds them: it follows in a pause, not only when a field is left. */
export function followSoon() {
  clearTimeout(timer);
  timer = setTimeout(() => {
    if (!state.linkProblem) writeAddress(fragments()(parts.chosen()));
  }, 300);
}
