// What every change ends with: everything is worked out and shown; once a field is left or a button pressed the address follows, too.

import * as fields from "../widgets/fields.js";
import { tell } from "../widgets/note.js";
import * as parts from "../parts/parts.js";
import * as plan from "../state/plan.js";
import { open } from "../state/plan.js";
import * as row from "../parts/frame/row.js";
import * as share from "../share.js";
import { attempt, changed, entered, left, rackName, state, text, workOut } from "../state/state.js";
import { words } from "../words.js";

/** Works everything out and shows it; while somebody is typing, the racks that are not shown and what is out of sight follow in a pause. */
export function refresh(typing = false) {
  attempt(() => {
    workOut(typing, fields.focusedPath());
    share.follow();
  });
  changed(typing);
}

/** A field was left or a button pressed: the address follows, the verdict is announced if it changed. */
export function commit() {
  plan.settle();
  state.relief = "";
  left();
  refresh();
  const path = fields.focusedPath();
  if (path) entered(path);
  follow();
  const verdict = state.view?.racks[open.draft.chosen]?.verdict;
  const sentence = verdict
    ? words.said.verdict(rackName(open.draft.chosen), text(verdict.kind === "needs" ? verdict.head : verdict.sentence))
    : "";
  if (sentence && sentence !== state.spoken) tell(sentence);
  state.spoken = sentence;
}

/** The address follows plan and part, unless it holds a link that cannot be read; so does every link to a part. */
export function follow() {
  const at = plan.fragments();
  if (!state.damaged) plan.follow(at(parts.chosen()));
  row.current(at);
}

let following = null;

/** Without room for the last changes the address alone holds them: it follows in a pause, not only when a field is left. */
export function later() {
  clearTimeout(following);
  following = setTimeout(() => {
    if (!state.damaged) plan.follow(plan.fragments()(parts.chosen()));
  }, 300);
}
