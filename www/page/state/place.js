// The place on the page: which parts, which field, how far down, what is unfolded. A phone that ends the tab loses none of it.

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

// What is folded away is not laid out: to ask where it is would do so, rack by rack.
/** @type {(node: HTMLElement) => boolean} */
const isVisible = (node) => !node.parentElement?.closest("details:not([open])") && node.offsetParent !== null;
// Of two columns the page moves with the right one.
const marks = () =>
  findAll(parts.isWide() ? `#answers :is(${MARKS})` : MARKS).filter(
    (node) => !node.closest("[hidden]") && (node.matches("summary") ? node.offsetParent !== null : isVisible(node)),
  );
const formsScrollTop = () => (parts.isWide() ? byId("forms").scrollTop : 0);

// The first mark that is still in view, by its number among all: the same page has the same marks.
function firstVisibleMark() {
  const all = marks();
  const at = all.findIndex((node) => node.getBoundingClientRect().bottom > 0);
  return at < 0 ? null : { at, top: Math.round(all[at].getBoundingClientRect().top) };
}

/** Notes the place, for an own plan. */
export function save() {
  if (!following || open.mode !== "own") return;
  const field = document.activeElement?.getAttribute("data-field") ?? null;
  const unfolded = allDetails()
    .filter(([, details]) => details.open)
    .map(([k]) => k);
  const held = { id: open.id, field, unfolded, mark: firstVisibleMark(), parts: parts.partsInFront(), pane: formsScrollTop() };
  // This tab's own place is the nearer one; a program that was ended altogether has only the other.
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
    // What cannot be read leads nowhere.
  }
  return open.mode === "own" && held?.id === open.id ? held : null;
}

/**
 * Which parts were in front when the open plan was left, or nothing.
 * @type {() => PagePlace["parts"] | null}
 */
export const leftParts = () => savedPlace()?.parts ?? null;

/**
 * Goes back to the place of the open plan, if it `stayed` open and was left there; then follows it.
 * @type {(stayed: boolean) => void}
 */
export function restore(stayed) {
  if (open.mode === "own") history.scrollRestoration = "manual";
  const held = savedPlace();
  // At another part than it was left there is no such place.
  if (stayed && held && Array.isArray(held.unfolded)) {
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
  // The last that a page hears before it is ended.
  document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && save());
  window.addEventListener("pagehide", save);
}
