// The place on the page: which parts, which field, how far down, what is unfolded. A phone that ends the tab loses none of it.

import * as parts from "../parts/parts.js";
import { open } from "./plan.js";
import { here, read, write } from "./store.js";

const KEY = "donorack.place";
const MARKS = ".part, .field[data-path], .sheet > h3, .card > summary";
let ready = false;
let timer = null;

const key = (details) =>
  ["more", "rack", "group", "fact"].map((name) => details.dataset[name] && `${name}.${details.dataset[name]}`).find(Boolean) ?? null;
const folded = () => [...document.querySelectorAll("main details")].map((details) => [key(details), details]).filter(([k]) => k);

// What is folded away is not laid out: to ask where it is would do so, rack by rack.
const seen = (node) => !node.parentElement.closest("details:not([open])") && node.offsetParent !== null;
// Of two columns the page moves with the right one.
const marks = () =>
  [...document.querySelectorAll(parts.isWide() ? `#answers :is(${MARKS})` : MARKS)].filter(
    (node) => !node.closest("[hidden]") && (node.matches("summary") ? node.offsetParent !== null : seen(node)),
  );
const pane = () => (parts.isWide() ? document.getElementById("forms").scrollTop : 0);

// The first mark that is still in view, by its number among all: the same page has the same marks.
function mark() {
  const all = marks();
  const at = all.findIndex((node) => node.getBoundingClientRect().bottom > 0);
  return at < 0 ? null : { at, top: Math.round(all[at].getBoundingClientRect().top) };
}

/** Notes the place, for an own plan. */
export function note() {
  if (!ready || open.mode !== "own") return;
  const field = document.activeElement?.dataset?.field ?? null;
  const unfolded = folded()
    .filter(([, details]) => details.open)
    .map(([k]) => k);
  const held = { id: open.id, field, unfolded, mark: mark(), parts: parts.kept(), pane: pane() };
  // This tab's own place is the nearer one; a program that was ended altogether has only the other.
  here(held);
  write(KEY, JSON.stringify(held));
}

const soon = () => {
  clearTimeout(timer);
  timer = setTimeout(note, 250);
};

function left() {
  let held = here();
  try {
    if (held?.id !== open.id) held = JSON.parse(read(KEY));
  } catch {
    // What cannot be read leads nowhere.
  }
  return open.mode === "own" && held?.id === open.id ? held : null;
}

/** Which parts were in front when the open plan was left, or nothing. */
export const leftParts = () => left()?.parts ?? null;

/** Goes back to the place of the open plan, if it `stayed` open and was left there; then follows it. */
export function restore(stayed) {
  if (open.mode === "own") history.scrollRestoration = "manual";
  const held = left();
  // At another part than it was left there is no such place.
  if (stayed && held && Array.isArray(held.unfolded)) {
    for (const [k, details] of folded()) details.open = held.unfolded.includes(k);
    const field = held.field ? document.querySelector(`[data-field="${CSS.escape(held.field)}"]`) : null;
    if (field && !field.closest("[hidden]")) field.focus({ preventScroll: true });
    if (parts.isWide() && Number.isFinite(held.pane)) document.getElementById("forms").scrollTop = held.pane;
    const node = held.mark && held.parts?.chosen === parts.chosen() && marks()[held.mark.at];
    if (node) window.scrollBy({ top: node.getBoundingClientRect().top - held.mark.top, behavior: "instant" });
  }
  ready = true;
  for (const what of ["scroll", "focusin", "focusout"]) document.addEventListener(what, soon, { passive: true, capture: true });
  document.addEventListener("toggle", soon, { capture: true });
  // The last that a page hears before it is ended.
  document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && note());
  window.addEventListener("pagehide", note);
}
