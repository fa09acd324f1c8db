// The keys beneath the field that has the focus: what a phone's decimal keyboard lacks, and the way to its letters.

import { h, setText } from "./dom.js";
import { words } from "../words.js";

/** @import { FieldParts } from "../../types/page" */
/** @typedef {FieldParts & { input: HTMLInputElement }} TextField a field that takes a measurement */

const SIXTEENTHS = ["1/16", "1/8", "3/16", "1/4", "5/16", "3/8", "7/16", "1/2", "9/16", "5/8", "11/16", "3/4", "13/16", "7/8", "15/16"];
/** @typedef {"inch" | "feet" | "angle" | "plain"} Kind */
/** @type {Record<Kind, string[]>} */
const KINDS = { inch: [...SIXTEENTHS, "±"], feet: [...SIXTEENTHS, "′", "″", "±"], angle: ["°", "′", "±"], plain: ["±"] };
/** @type {Record<string, string>} */
const NAMES = words.keys.names;
const LETTERS = "abc";

/** @type {HTMLElement | null} */
let keys = null;
/** @type {TextField | null} */
let current = null;
/** @type {HTMLElement | null} */
let anchor = null; // the element that they follow
/** @type {(text: string) => void} */
let onText = () => {};

/**
 * Puts the keys of one kind after the element `above`; `type` is called with every text that they make.
 * @type {(field: TextField, kind: Kind, above: HTMLElement, type: (text: string) => void) => void}
 */
export function show(field, kind, above, type) {
  current = field;
  onText = type;
  if (!keys || keys.dataset.kind !== kind) {
    keys?.remove();
    keys = h(
      "div",
      { class: "keys", role: "group", "aria-label": words.keys.label, "data-kind": kind, onpointerdown: (event) => event.preventDefault() },
      [...KINDS[kind], LETTERS].map((key) =>
        h("button", { type: "button", tabindex: "-1", "data-key": key, "aria-label": NAMES[key] ?? null, onclick: () => press(key) }, key),
      ),
    );
  }
  keys.dataset.path = field.path;
  anchor = above;
  if (!keys.isConnected) field.root.append(keys);
  placeKeys();
  labelLetters();
}

/** Puts them where there is room for them: beside another field they stand in their own, in one column they may use the whole width. */
export function placeKeys() {
  if (!keys?.isConnected || !current || !anchor?.parentElement) return;
  const columns = getComputedStyle(anchor.parentElement).gridTemplateColumns.split(" ").length;
  if (columns > 1 && keys.parentElement !== current.root) current.root.append(keys);
  if (columns === 1 && keys.previousElementSibling !== anchor) anchor.after(keys);
}

/** Takes the keys away. */
export const hide = () => keys?.remove();

/** The keys, where they stand on the page. */
export const shown = () => (keys?.isConnected ? keys : null);

function labelLetters() {
  if (keys?.lastElementChild && current) setText(keys.lastElementChild, current.input.inputMode === "text" ? "123" : LETTERS);
}

/** @type {(key: string) => void} */
function press(key) {
  if (!current) return;
  const { input } = current;
  if (key === LETTERS) return switchLetters(input);
  let [from, to] = [input.selectionStart ?? 0, input.selectionEnd ?? 0];
  // With the whole number selected a mark is added after it; a fraction replaces it, as a digit would.
  if (!key.includes("/") && from === 0 && to === input.value.length) from = to;
  const [before, after] = inserted(key, input.value.slice(0, from), input.value.slice(to));
  if ((before + after).length > input.maxLength) return;
  input.value = before + after;
  input.focus({ preventScroll: true });
  input.setSelectionRange(before.length, before.length);
  onText(input.value);
}

/**
 * The text before and behind the caret once a key was pressed there.
 * @type {(key: string, before: string, after: string) => [string, string]}
 */
export function inserted(key, before, after) {
  if (key.includes("/")) {
    // A second fraction replaces the first.
    const whole = before.replace(/(^|[\s-]+)\d+\/\d+\s*$/, "").trimEnd();
    return [whole === "" ? key : `${whole} ${key}`, /^[\d.,]/.test(after) ? ` ${after}` : after];
  }
  const whole = before.trimEnd();
  if (key !== "±") return [whole + key + (key === "″" ? "" : " "), after.trimStart()];
  if (whole.includes("±") || after.includes("±")) return [before, after];
  return [`${whole}${whole && " "}± `, after.trimStart()];
}

/**
 * Changes between the decimal keyboard and the one with letters; phones apply `inputMode` only when a field gets the focus.
 * @type {(input: HTMLInputElement) => void}
 */
function switchLetters(input) {
  input.inputMode = input.inputMode === "text" ? "decimal" : "text";
  input.blur();
  input.focus({ preventScroll: true });
  labelLetters();
}
