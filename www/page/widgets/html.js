// Templates: functions of the state; rendering changes only what differs.
//
// Two things are done beside what lit-html does. A line break in a template, with the blanks around it, is no text, so that templates can be
// indented without effect. A name within a text (marked in `words.js`) becomes a `<bdi>`.

import { html as markup, nothing, render as litRender, svg as drawing } from "../lib/lit-html.js";
import { NAMED, plainText } from "./dom.js";

export { nothing };

/** @typedef {typeof import("../../types/lit-html").html} Tag */
/** @typedef {{ strings: TemplateStringsArray, inside: boolean[] }} Template its texts, and for each value whether it stands between tags */

/**
 * Renders a value into an element.
 * @type {typeof import("../../types/lit-html").render}
 */
export const render = litRender;

/** @type {WeakMap<TemplateStringsArray, Template>} */
const tidied = new WeakMap();

const BREAK = /\s*\n\s*/g;

/**
 * A template's texts without their line breaks.
 * @param {TemplateStringsArray} given
 * @returns {Template}
 */
export function tidy(given) {
  const held = tidied.get(given);
  if (held) return held;
  let tag = false; // whether the next piece is within a tag
  /** @type {boolean[]} */
  const inside = [];
  const strings = given.map((text) => {
    let out = "";
    for (const piece of text.split(/(?=<)/)) {
      if (piece.startsWith("<")) tag = true;
      const end = tag ? piece.indexOf(">") + 1 || piece.length : 0;
      out += piece.slice(0, end).replace(BREAK, " ") + piece.slice(end).replace(BREAK, "");
      if (piece[end - 1] === ">") tag = false;
    }
    inside.push(!tag);
    return out;
  });
  const made = { strings: Object.assign(strings, { raw: strings }), inside };
  tidied.set(given, made);
  return made;
}

/** @type {(value: unknown, inside: boolean) => unknown} */
const toRendered = (value, inside) => {
  if (value === null || value === undefined || (value === false && inside)) return nothing;
  if (typeof value !== "string" || !NAMED.test(value)) return value;
  return inside ? value.split(NAMED).map((part, i) => (i % 2 ? html`<bdi>${part}</bdi>` : part)) : plainText(value);
};

/** @type {(make: Tag) => Tag} */
const tagged =
  (make) =>
  (given, ...values) => {
    const { strings, inside } = tidy(given);
    return make(strings, ...values.map((value, i) => toRendered(value, inside[i])));
  };

/** Markup; `null` takes an attribute away, and shows nothing between tags. */
export const html = tagged(markup);
/** The same within a drawing. */
export const svg = tagged(drawing);

/**
 * Renders; the focus stays with the element of the same `data-focus`, also where elements change places.
 * @param {unknown} value
 * @param {HTMLElement} place
 */
export function renderKeepingFocus(value, place) {
  const focus = document.activeElement;
  const held = focus instanceof HTMLElement && place.contains(focus) ? focus.closest("[data-focus]")?.getAttribute("data-focus") : null;
  render(value, place);
  if (!held || !(focus instanceof HTMLElement) || (focus.isConnected && focus.dataset.focus === held)) return;
  /** @type {HTMLElement | null} */
  const next = place.querySelector(`[data-focus="${CSS.escape(held)}"]`);
  if (next) next.focus({ preventScroll: true });
  else focus.blur();
}

// Units that are hidden where they would be shown twice.
const UNITS = [" turns", " m", " mm"];
/** @type {(text: string, of: string | undefined) => unknown} */
const unit = (text, of) => (of && text.endsWith(of) ? html`${text.slice(0, -of.length)}<span class="u">${of}</span>` : text);

/**
 * A figure with its ± in smaller type; the text stays the same. A `brief` one hides units that are shown beside it.
 * @param {string} text
 * @param {boolean} [brief]
 */
export function figure(text, brief = false) {
  const at = text.indexOf(" ±");
  const [value, pm] = at < 0 ? [text, ""] : [text.slice(0, at), text.slice(at)];
  const twice = brief ? UNITS.find((u) => value.endsWith(u) && pm.endsWith(u)) : undefined;
  return html`<b>${brief ? unit(value, " turns") : value}</b>${pm ? html`<small>${unit(pm, twice)}</small>` : null}`;
}

/**
 * The mark of a verdict or finding: by shape first, by colour second.
 * @param {string} kind
 */
export function mark(kind) {
  const [shape, colour] = MARKS[kind] ?? MARKS.missing;
  return html`<span class=${`mark ${colour}`} aria-hidden="true">${shape}</span>`;
}

/** @type {Record<string, [string, string]>} */
const MARKS = {
  suits: ["✓", "good"],
  pass: ["✓", "good"],
  close: ["~", "close"],
  fails: ["✕", "bad"],
  fail: ["✕", "bad"],
  backwards: ["✕", "bad"],
  opposed: ["✕", "bad"],
  notice: ["!", "close"],
  needs: ["?", "open"],
  missing: ["?", "open"],
};

/**
 * The class that gives a text the colour of a mark.
 * @type {(kind: string) => string}
 */
export const textTone = (kind) => `t-${(MARKS[kind] ?? MARKS.missing)[1]}`;
