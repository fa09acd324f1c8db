// Opens plans on the page: an own one, one that a link holds, the example; and ends the choice between two versions of one.

import { Refused, prepare } from "../core.js";
import { commit, refresh } from "./commit.js";
import * as diff from "../state/diff.js";
import * as form from "../parts/form/form.js";
import { announce } from "../widgets/note.js";
import { rebuild } from "../paint.js";
import * as points from "../parts/points/points.js";
import * as parts from "../parts/parts.js";
import * as place from "../state/place.js";
import { readLink, recover } from "../state/address.js";
import { settleClash } from "../state/clash.js";
import { toPlan } from "../state/format.js";
import { openEarlier, openOther, openOwn } from "../state/opening.js";
import { open } from "../state/plan.js";
import { readable } from "../state/record.js";
import { planName, state } from "../state/state.js";
import * as store from "../state/store.js";
import { words } from "../words.js";

/** @import { NoteButton, Plan } from "../../types/page" */

/** @type {NoteButton} */
const UNDO = { what: "undo", label: words.do.undo };

// Counts openings: a plan that is still being worked out is not shown once another was opened.
let openings = 0;

/**
 * Opens a plan: one of few racks at once, one of many when it was worked out in slices, unless another is asked for meanwhile.
 * @type {(plan: Plan | null | undefined, show: () => void) => Promise<void> | void}
 */
function whenPrepared(plan, show) {
  const mine = ++openings;
  const wanted = () => mine === openings;
  const prepared = plan && prepare(plan, wanted);
  if (!prepared) return show();
  announce(words.bar.opening);
  return prepared.then(() => {
    if (wanted()) show();
  });
}

/**
 * Opens what the address says, at the start and whenever it changes: an own plan, a friend's, or the example.
 * @type {() => Promise<void> | void}
 */
export function openAddress() {
  const { hash } = location;
  const { part: named, link: fragment } = parts.split(hash.slice(1));
  const { plan: mine, kept, stamp } = history.state ?? {};
  if (named && !fragment && state.ready && open.mode !== "friend") return parts.show(named);
  if (!fragment || (mine && (store.record(mine) || store.aside()?.id === mine)))
    return whenPrepared(store.record(mine ?? store.lastOpen())?.plan, () =>
      kept === false && fragment ? openFromAddress(mine, fragment, stamp) : showOwn("", mine),
    );
  try {
    countUnreadable();
    const theirs = readLink(hash);
    return whenPrepared(theirs, () => openLink(hash, theirs));
  } catch (error) {
    // After an unreadable link address and own plan stay as they are.
    if (error instanceof Refused) return showOwn(error.message);
    throw error;
  }
}

/**
 * Opens a link, whose plan this is: a friend's plan to look at, or an own plan with the link's version beside it.
 * @type {(link: string, theirs: Plan) => void}
 */
function openLink(link, theirs) {
  const { part: named, link: fragment } = parts.split(link.includes("#") ? link.slice(link.indexOf("#") + 1) : link);
  const mine = theirs.id ? store.record(theirs.id) : null;
  if (!mine || !openOwn(theirs.id) || open.id !== theirs.id) {
    openOther("friend", theirs);
    parts.show(named ?? "side", { quiet: true });
    return showOpened();
  }
  if (named) parts.show(named, { quiet: true });
  if (!diff.same(toPlan(open.draft), theirs)) diff.layBeside(open.id, fragment, theirs);
  showOpened();
  const differ = diff.rows()?.length;
  if (differ) announce(words.diff.came(differ));
  return undefined;
}

/**
 * Opens a pasted link; returns why that is not possible, or "".
 * @type {(link: string) => string}
 */
function followLink(link) {
  try {
    const theirs = readLink(link);
    whenPrepared(theirs, () => openLink(link, theirs));
    return "";
  } catch (error) {
    if (error instanceof Refused) return error.message;
    throw error;
  }
}

/**
 * Opens an own plan after a reload where storage had no room for its last changes: the address holds a later version than the record.
 * @type {(id: string, fragment: string, stamp: string | null | undefined) => void}
 */
function openFromAddress(id, fragment, stamp) {
  countUnreadable();
  if (!openOwn(id)) return showExample();
  const beside = open.id === id && !open.clash ? versionInAddress(fragment, stamp) : null;
  if (beside) diff.layBeside(id, beside.link, beside.plan, beside.kind);
  showOpened();
  if (!beside) return;
  // The other version is shown at the top of the page.
  state.resumed = false;
  announce(words.diff.titles[beside.kind], true);
}

/** @type {(fragment: string, stamp: string | null | undefined) => ReturnType<typeof recover> | null} */
function versionInAddress(fragment, stamp) {
  try {
    const there = readLink(fragment);
    if (there.id !== open.id || diff.same(toPlan(open.draft), there)) return null;
    return recover(there, stamp, words.steps.address);
  } catch (error) {
    if (error instanceof Refused) return null;
    throw error;
  }
}

/**
 * Opens the own plan `id`, or the last one; the example where there is none. `why` says why a link cannot be read.
 * @type {(why?: string, id?: string) => void}
 */
export function showOwn(why, id) {
  countUnreadable();
  if (!openOwn(id)) return showExample(why);
  showOpened(why);
  return showLeftPart();
}

/**
 * Opens an own plan from the list.
 * @type {(id: string) => void}
 */
function openPlan(id) {
  whenPrepared(store.record(id)?.plan, () => {
    if (!openOwn(id)) return showExample();
    showOpened();
    showLeftPart();
    return announce(words.plans.said.opened(planName(toPlan(open.draft))));
  });
}

/**
 * Opens the last readable undo step of an unreadable plan; tells whether there is one.
 * @type {(id: string) => boolean}
 */
function showEarlier(id) {
  if (!openEarlier(id)) return false;
  countUnreadable();
  showOpened();
  return true;
}

/**
 * After a plan was removed, which may be the open one.
 * @type {(id: string) => void}
 */
function removed(id) {
  countUnreadable();
  if (id === open.id) showOwn();
  else refresh();
}

/**
 * Shows the example; `why` says why a link cannot be read.
 * @type {(why?: string) => void}
 */
export function showExample(why) {
  openOther("example", /** @type {Plan} */ (state.example));
  showOpened(why);
}

// Shows the part of an own plan that was in front when it was left.
function showLeftPart() {
  const held = place.leftParts();
  if (state.ready && held) parts.show(held.chosen);
}

// Counts the plans that cannot be read.
const countUnreadable = () => {
  state.broken = store.list().filter((one) => !readable(one.held)).length;
};

/**
 * Shows the plan that was opened just now; `why` says why a link cannot be read.
 * @type {(why?: string) => void}
 */
export function showOpened(why = "") {
  openings += 1;
  state.linkProblem = why ?? "";
  state.earlier = open.earlier ? words.bar.earlier(open.earlier) : "";
  open.earlier = "";
  diff.restoreBeside();
  form.foldAll();
  points.forget();
  rebuild();
  commit();
}

/**
 * Ends the choice between the versions of two tabs.
 * @type {(way: "theirs" | "mine" | "both") => void}
 */
export function chooseVersion(way) {
  try {
    if (!settleClash(way, words.steps.tabs, words.tabs.copy(planName(toPlan(open.draft))))) return showOwn();
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    return announce(error.message, true);
  }
  rebuild();
  commit();
  return announce(words.tabs.said[way], true, UNDO);
}

/** Opens the version beside the own plan as a friend's. */
function lookAtTheirs() {
  openOther("friend", readLink(diff.link() ?? ""));
  showOpened();
}

/** Closes the version beside the own plan. */
function putAway() {
  diff.putAway();
  refresh();
  document.getElementById("plans-open")?.focus();
}

/** The actions of this file, by name: see `act`. */
export const namedActions = { followLink, open: openPlan, earlier: showEarlier, removed, lookAtTheirs, putAway };
