// Keeps the focused field, its drawing and its keys where they are seen: above the phone's keyboard, and still under the finger.

import { byId, closest, targetOf } from "./dom.js";
import { placeKeys as followKeys, shown } from "./keys.js";
import { scroller } from "../parts/parts.js";

const GAP = 6;
let pressed = false;

/**
 * Changes the page without moving `anchor` on the screen.
 * @type {(held: Element | null | undefined, change: () => unknown) => void}
 */
export function keepInPlace(anchor, change) {
  const before = anchor?.isConnected ? anchor.getBoundingClientRect().top : null;
  change();
  if (before === null || !anchor?.isConnected) return;
  const moved = anchor.getBoundingClientRect().top - before;
  if (Math.abs(moved) >= 0.5) scrollWith(anchor, moved);
}

// Scrolls the element's column first; what is left, the page.
/** @type {(held: Element, by: number) => void} */
function scrollWith(held, by) {
  const pane = scroller(held);
  const was = pane.scrollTop;
  pane.scrollBy({ top: by, behavior: "instant" });
  const left = by - (pane.scrollTop - was);
  if (pane !== document.scrollingElement && Math.abs(left) >= 1) scrollBy({ top: left, behavior: "instant" });
}

// The visible range in viewport coordinates: without the keyboard, and without strip and row where those are in view.
function visibleRange() {
  let { offsetTop: top, height } = window.visualViewport ?? { offsetTop: 0, height: innerHeight };
  let bottom = top + height;
  for (const id of ["strip", "parts"]) {
    const { top: upper, bottom: lower, height: tall, width } = byId(id).getBoundingClientRect();
    // A row at the side takes nothing of the height.
    if (!tall || upper >= bottom || lower <= top || width < innerWidth / 2) continue;
    if ((upper + lower) / 2 < (top + bottom) / 2) top = Math.max(top, lower);
    else bottom = Math.min(bottom, upper);
  }
  return { top: top + GAP, bottom: bottom - GAP };
}

let down = false;
addEventListener(
  "mousedown",
  () => {
    down = true;
  },
  true,
);
addEventListener(
  "mouseup",
  () => {
    down = false;
  },
  true,
);

/**
 * Runs a change that moves elements, but not between press and release of a tap or click: the caret would be set where the field was, and the
 * keys typed next would be lost.
 * @type {(change: () => unknown) => void}
 */
export function whenReleased(change) {
  if (down) addEventListener("mouseup", () => setTimeout(change), { once: true, capture: true });
  else change();
}

/** Scrolls the focused field into view: with its keys, and with as much of its drawing as there is room for. */
export function scrollToFocused() {
  const field = focusedField();
  if (!field) return;
  // A person who has zoomed in chooses what is visible.
  if ((window.visualViewport?.scale ?? 1) > 1.01) return;
  const { top, bottom } = visibleRange();
  const shownKeys = shown();
  const keys = shownKeys && shownKeys.dataset.path === field.dataset.path ? shownKeys : field;
  const upper = field.getBoundingClientRect().top;
  const lower = Math.max(keys.getBoundingClientRect().bottom, field.getBoundingClientRect().bottom);
  const number = (field.querySelector(".box") ?? field.querySelector(".sides") ?? field).getBoundingClientRect().top;
  let by = 0;
  if (lower > bottom || lower - upper > bottom - top) by = lower - bottom;
  else if (upper < top) by = upper - top;
  // Where field and keys do not both fit, the number has priority.
  if (number - by < top) by = number - top;
  if (Math.abs(by) >= 1) scrollWith(field, by);
}

// Where a keyboard leaves only a few lines, `low` on the body gives them to the field and its keys.
function updateLow() {
  const { height, scale } = window.visualViewport ?? { height: innerHeight, scale: 1 };
  const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
  if (scale <= 1.01) document.body.classList.toggle("low", height < 20 * rem);
}

/** Listens for what moves the field out of sight: the focus going on, the keyboard coming, the screen turning. */
export function watchFocus() {
  addEventListener(
    "pointerdown",
    () => {
      pressed = true;
    },
    true,
  );
  for (const end of ["pointerup", "pointercancel"])
    addEventListener(
      end,
      () => {
        pressed = false;
      },
      true,
    );
  document.addEventListener("focusin", (event) => {
    // Nothing moves while a finger or mouse button is down.
    if (!targetOf(event)?.closest("#forms .field")) return;
    if (pressed) addEventListener("click", () => requestAnimationFrame(scrollToFocused), { once: true, capture: true });
    else requestAnimationFrame(scrollToFocused);
  });
  // A fallback for a focused field without a caret: in an empty field the caret is set at each key.
  addEventListener(
    "keydown",
    ({ target }) => {
      const text = target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement ? target : null;
      if (text?.matches("[data-field]") && text.value === "") text.setSelectionRange(0, 0);
    },
    true,
  );
  updateLow();
  window.visualViewport?.addEventListener("resize", () => {
    updateLow();
    requestAnimationFrame(() => {
      followKeys();
      scrollToFocused();
    });
  });
}

/**
 * The field that has the focus, or nothing.
 * @type {() => HTMLElement | null}
 */
export const focusedField = () => closest(document.activeElement, "#forms .field");
