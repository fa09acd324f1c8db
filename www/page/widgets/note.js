// What a button did, said: for the ear, and for the eye for a while; with the button that the sentence speaks of beside it.

import { byId, h, say } from "./dom.js";
import { words } from "../words.js";

/** @import { NoteButton } from "../../types/page" */

const LONG = 4000; // ms that a note is seen
const LONGER = 12000; // with a button in it
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

const place = () => byId("note");
const said = () => byId("say");

/**
 * Announces something; what the page does not show anyhow is also to be `seen` for a while. `button`: `{what}` one of the page's own deeds, or `{run}`; and its `label`.
 * @type {(sentence: string, seen?: boolean, button?: NoteButton | null) => void}
 */
export function tell(sentence, seen = false, button = null) {
  const old = said().textContent;
  say(said(), sentence);
  if (said().textContent === old) say(said(), `${sentence}\u00a0`);
  said().className = seen ? "told" : "sr";
  place().className = seen ? "note seen" : "note";
  // Under the strip, while a keyboard covers the foot of the page.
  place().style.setProperty("--note", `${Math.round(byId("strip").getBoundingClientRect().bottom + 8)}px`);
  const held = place().contains(document.activeElement);
  const { run } = button ?? {};
  const onclick =
    run &&
    (() => {
      away();
      run();
    });
  place().querySelector("button")?.remove();
  if (button && seen) place().append(h("button", { type: "button", "data-do": button.what, "data-note": "", onclick }, button.label));
  if (held) place().querySelector("button")?.focus();
  clearTimeout(timer);
  timer = setTimeout(away, button && seen ? LONGER : LONG);
}

/** Takes the note out of sight; one whose button has the focus stays. */
export function away() {
  if (place().contains(document.activeElement)) {
    timer = setTimeout(away, LONG);
    return;
  }
  said().className = "sr";
  place().className = "note";
  place().querySelector("button")?.remove();
}

/**
 * What was typed into a text, cut to so many characters; that something was cut is said.
 * @type {(input: HTMLInputElement | HTMLTextAreaElement, most: number) => string}
 */
export function within(input, most) {
  const all = [...input.value];
  if (all.length > most) {
    input.value = all.slice(0, most).join("");
    tell(words.said.cut(most), true);
  }
  return input.value;
}
