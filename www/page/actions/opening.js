// Which plan is open: the own one, another of this browser's, a friend's, the example; and what follows from a link.

import { Refused } from "../core.js";
import { commit, refresh } from "./commit.js";
import * as diff from "../state/diff.js";
import * as form from "../parts/form/form.js";
import { tell } from "../widgets/note.js";
import { rebuild } from "../paint.js";
import * as parts from "../parts/parts.js";
import * as place from "../state/place.js";
import * as plan from "../state/plan.js";
import { open } from "../state/plan.js";
import { nameOf, state } from "../state/state.js";
import * as store from "../state/store.js";
import { words } from "../words.js";

const part = (id) => document.getElementById(id);
const undoing = { what: "undo", label: words.do.undo };

/** On start, and whenever the address changes: the own plan, a friend's, or the example. */
export function begin() {
  const { part: named, link: fragment } = parts.split(location.hash.slice(1));
  const { plan: mine, kept, stamp } = history.state ?? {};
  if (named && !fragment && state.ready && open.mode !== "friend") return parts.show(named);
  if (!fragment || (mine && (store.record(mine) || store.aside()?.id === mine)))
    return kept === false && fragment ? homeFuller(mine, fragment, stamp) : home("", mine);
  try {
    look();
    return arrive(location.hash);
  } catch (error) {
    // A link that cannot be read leaves the address and the own plan as they are.
    if (error instanceof Refused) return home(error.message);
    throw error;
  }
}

/** A link that came from somewhere: a friend's plan to look at, or one's own that came back. */
function arrive(link) {
  const theirs = plan.readLink(link);
  const { part: named, link: fragment } = parts.split(link.includes("#") ? link.slice(link.indexOf("#") + 1) : link);
  const mine = theirs.id ? store.record(theirs.id) : null;
  if (!mine || !plan.openOwn(theirs.id) || open.id !== theirs.id) {
    plan.openOther("friend", theirs);
    parts.show(named ?? "side");
    return fresh();
  }
  if (named) parts.show(named);
  if (!diff.same(plan.toPlan(open.draft), theirs)) diff.lay(open.id, fragment, theirs);
  fresh();
  if (diff.rows()?.length) tell(words.diff.came(diff.rows().length));
  return undefined;
}

/** Follows a pasted link; says why that cannot be done, or nothing. */
function followLink(link) {
  try {
    arrive(link);
    return "";
  } catch (error) {
    if (error instanceof Refused) return error.message;
    throw error;
  }
}

/** The own plan after a start, when there was no room for its last changes: the address holds more of it than its record. */
function homeFuller(id, fragment, stamp) {
  look();
  if (!plan.openOwn(id)) return showExample();
  const beside = open.id === id && !open.clash ? fuller(fragment, stamp) : null;
  if (beside) diff.lay(id, beside.link, beside.plan, beside.kind);
  fresh();
  if (!beside) return;
  // What lies beside stands at the top of the page.
  state.stayed = false;
  tell(words.diff.titles[beside.kind], true);
}

function fuller(fragment, stamp) {
  try {
    const there = plan.readLink(fragment);
    if (there.id !== open.id || diff.same(plan.toPlan(open.draft), there)) return null;
    return plan.recover(there, stamp, words.steps.address);
  } catch (error) {
    if (error instanceof Refused) return null;
    throw error;
  }
}

/** The own plan, or the example as long as there is none. */
export function home(why, id) {
  look();
  if (!plan.openOwn(id)) return showExample(why);
  fresh(why);
  return whereLeft();
}

/** Opens a plan of this browser. */
function openPlan(id) {
  if (!plan.openOwn(id)) return showExample();
  fresh();
  whereLeft();
  return tell(words.plans.said.opened(nameOf(plan.toPlan(open.draft))));
}

/** Opens a plan that cannot be read as it stood a step back; tells whether that could be. */
function openEarlier(id) {
  if (!plan.openEarlier(id)) return false;
  look();
  fresh();
  return true;
}

/** A plan was removed: it may be the one that is open. */
function removed(id) {
  look();
  if (id === open.id) home();
  else refresh();
}

/** Shows the example; `why` says why a link cannot be read. */
export function showExample(why) {
  plan.openOther("example", state.example);
  fresh(why);
}

// An own plan is shown where it was left.
function whereLeft() {
  const held = place.leftParts();
  if (state.ready && held) parts.show(held.chosen);
}

const look = () => {
  state.broken = store.list().filter((one) => !plan.readable(one.held)).length;
};

/** Shows a plan that was not shown before. */
export function fresh(why = "") {
  state.damaged = why ?? "";
  state.earlier = open.earlier ? words.bar.earlier(open.earlier) : "";
  open.earlier = "";
  diff.again();
  form.foldAll();
  rebuild();
  commit();
}

/** Ends the choice between two tabs. */
export function settle(way) {
  try {
    if (!plan.settleClash(way, words.steps.tabs, words.tabs.copy(nameOf(plan.toPlan(open.draft))))) return home();
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    return tell(error.message, true);
  }
  rebuild();
  commit();
  return tell(words.tabs.said[way], true, undoing);
}

/** Opens what lies beside one's own plan as a friend's. */
function lookAtTheirs() {
  plan.openOther("friend", plan.readLink(diff.link()));
  fresh();
}

/** Puts away what lies beside. */
function putAway() {
  diff.away();
  refresh();
  part("plans-open").focus();
}

/** What is called by name: see `act`. */
export const deeds = { followLink, open: openPlan, earlier: openEarlier, removed, lookAtTheirs, putAway };
