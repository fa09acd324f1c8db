// The place on the page: parts in front, focused field, scroll position, open details. It is stored because a phone may discard the tab.

import { byId, find, findAll } from "../widgets/dom.js";
import * as parts from "../parts/parts.js";
import { open } from "./plan.js";
import { here, read, write } from "./store.js";

/** @import { PagePlace } from "../../types/page" */

const KEY = "donorack.place";
const MARKS = ".part, .field[data-path], .sheet > h3, .card > summary";
let following = false;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

/** @type {(details: HTMLElement) => string | null} */
const detailsKey = (details) =>
  ["more", "rack", "group", "fact"].map((name) => details.dataset[name] && `${name}.${details.dataset[name]}`).find(Boolean) ?? null;
/** @type {() => [string, HTMLDetailsElement][]} */
const allDetails = () =>
  findAll("main details", document, HTMLDetailsElement).flatMap((details) => {
    const k = detailsKey(details);
    return k ? [/** @type {[string, HTMLDetailsElement]} */ ([k, details])] : [];
  });

// Closed details are skipped first: asking for an element's position in them would force a layout for each rack.
/** @type {(node: HTMLElement) => boolean} */
const isVisible = (node) => !node.parentElement?.closest("details:not([open])") && node.offsetParent !== null;
// With two columns the page scrolls with the right one.
const marks = () =>
  findAll(parts.isWide() ? `#answers :is(${MARKS})` : MARKS).filter(
    (node) => !node.closest("[hidden]") && (node.matches("summary") ? node.offsetParent !== null : isVisible(node)),
  );
const formsScrollTop = () => (parts.isWide() ? byId("forms").scrollTop : 0);

// The first landmark in view, by its index among all: the same page has the same landmarks.
function firstVisibleMark() {
  const all = marks();
  const at = all.findIndex((node) => node.getBoundingClientRect().bottom > 0);
  return at < 0 ? null : { at, top: Math.round(all[at].getBoundingClientRect().top) };
}

/** Stores the place, for an own plan. */
export function save() {
  if (!following || open.mode !== "own") return;
  const field = document.activeElement?.getAttribute("data-field") ?? null;
  const unfolded = allDetails()
    .filter(([, details]) => details.open)
    .map(([k]) => k);
  const held = { id: open.id, field, unfolded, mark: firstVisibleMark(), parts: parts.partsInFront(), pane: formsScrollTop() };
  // Session storage holds this tab's place; local storage survives when the browser was closed.
  here(held);
  write(KEY, JSON.stringify(held));
}

const saveSoon = () => {
  clearTimeout(timer);
  timer = setTimeout(save, 250);
};

/** @type {() => PagePlace | null} */
function savedPlace() {
  let held = here();
  try {
    if (held?.id !== open.id) held = JSON.parse(read(KEY) ?? "null");
  } catch {
    // An unreadable place is ignored.
  }
  return open.mode === "own" && held?.id === open.id ? held : null;
}

/**
 * The parts that were in front when the open plan was left, or `null`.
 * @type {() => PagePlace["parts"] | null}
 */
export const leftParts = () => savedPlace()?.parts ?? null;

/**
 * Restores the place of the open plan, if that `stayed` open; from then on stores every change of it. `unfold` opens the card of a rack.
 * @type {(stayed: boolean, unfold: (rack: number) => void) => void}
 */
export function restore(stayed, unfold) {
  if (open.mode === "own") history.scrollRestoration = "manual";
  const held = savedPlace();
  // The scroll position belongs to the part that was in front.
  if (stayed && held && Array.isArray(held.unfolded)) {
    for (const k of held.unfolded) if (/^rack\.\d+$/.test(k)) unfold(Number(k.slice(5)));
    for (const [k, details] of allDetails()) details.open = held.unfolded.includes(k);
    const field = held.field ? find(`[data-field="${CSS.escape(held.field)}"]`) : null;
    if (field && !field.closest("[hidden]")) field.focus({ preventScroll: true });
    if (parts.isWide() && Number.isFinite(held.pane)) byId("forms").scrollTop = held.pane;
    const { mark } = held;
    const node = mark && held.parts?.chosen === parts.chosen() && marks()[mark.at];
    if (node) window.scrollBy({ top: node.getBoundingClientRect().top - mark.top, behavior: "instant" });
  }
  following = true;
  for (const what of ["scroll", "focusin", "focusout"]) document.addEventListener(what, saveSoon, { passive: true, capture: true });
  document.addEventListener("toggle", saveSoon, { capture: true });
  // The last event before a page may be discarded.
  document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && save());
  window.addEventListener("pagehide", save);
}
