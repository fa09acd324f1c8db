// Announcements: a live region for screen readers that is also visible for a while, with a button where the sentence offers one.

import { byId, h, setText } from "./dom.js";
import { words } from "../words.js";

/** @import { NoteButton } from "../../types/page" */

const LONG = 4000; // ms that a note is seen
const LONGER = 12000; // with a button in it
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

const noteElement = () => byId("note");
const messageElement = () => byId("say");

/**
 * Announces a sentence to screen readers; with `seen` it is also visible for a while, with a `button`.
 * @type {(sentence: string, seen?: boolean, button?: NoteButton | null) => void}
 */
export function announce(sentence, seen = false, button = null) {
  const old = messageElement().textContent;
  setText(messageElement(), sentence);
  if (messageElement().textContent === old) setText(messageElement(), `${sentence}\u00a0`);
  messageElement().className = seen ? "told" : "sr";
  noteElement().className = seen ? "note seen" : "note";
  // Under the strip, while a keyboard covers the foot of the page.
  noteElement().style.setProperty("--note", `${Math.round(byId("strip").getBoundingClientRect().bottom + 8)}px`);
  const held = noteElement().contains(document.activeElement);
  const { run } = button ?? {};
  const onclick =
    run &&
    (() => {
      hideNote();
      run();
    });
  noteElement().querySelector("button")?.remove();
  if (button && seen) noteElement().append(h("button", { type: "button", "data-do": button.what, "data-note": "", onclick }, button.label));
  if (held) noteElement().querySelector("button")?.focus();
  clearTimeout(timer);
  timer = setTimeout(hideNote, button && seen ? LONGER : LONG);
}

/** Takes the note out of sight; one whose button has the focus stays. */
export function hideNote() {
  if (noteElement().contains(document.activeElement)) {
    timer = setTimeout(hideNote, LONG);
    return;
  }
  messageElement().className = "sr";
  noteElement().className = "note";
  noteElement().querySelector("button")?.remove();
}

/**
 * The text of a field, cut to so many characters; a cut is announced.
 * @type {(input: HTMLInputElement | HTMLTextAreaElement, most: number) => string}
 */
export function limitLength(input, most) {
  const all = [...input.value];
  if (all.length > most) {
    input.value = all.slice(0, most).join("");
    announce(words.said.cut(most), true);
  }
  return input.value;
}
