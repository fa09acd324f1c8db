// What is shown, made of state: a template is a function of it, and rendering changes only what differs.
//
// Two habits beside what lit-html does. A line break in a template, with the blanks round it, is no text: templates can be read, and nothing
// that is seen depends on how they are set out. A name within a text (see `words.js`) stands apart from the words round it, in a `<bdi>`.

import { html as markup, nothing, render, svg as drawing } from "../lib/lit-html.js";
import { NAMED, plain } from "./dom.js";

export { nothing, render };

/** @typedef {{ strings: TemplateStringsArray, inside: boolean[] }} Template its texts, and for each value whether it stands between tags */

/** @type {WeakMap<TemplateStringsArray, Template>} */
const known = new WeakMap();

const BREAK = /\s*\n\s*/g;

/**
 * A template's texts without their line breaks.
 * @param {TemplateStringsArray} given
 * @returns {Template}
 */
export function tidy(given) {
  const held = known.get(given);
  if (held) return held;
  let tag = false; // whether what comes stands within a tag
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
  const made = { strings: /** @type {any} */ (Object.assign(strings, { raw: strings })), inside };
  known.set(given, made);
  return made;
}

/** @type {(value: any, inside: boolean) => any} */
const fit = (value, inside) => {
  if (value === null || value === undefined || (value === false && inside)) return nothing;
  if (typeof value !== "string" || !NAMED.test(value)) return value;
  return inside ? value.split(NAMED).map((part, i) => (i % 2 ? html`<bdi>${part}</bdi>` : part)) : plain(value);
};

/** @type {(make: (strings: TemplateStringsArray, ...values: any[]) => any) => (strings: TemplateStringsArray, ...values: any[]) => any} */
const tagged =
  (make) =>
  (given, ...values) => {
    const { strings, inside } = tidy(given);
    return make(strings, ...values.map((value, i) => fit(value, inside[i])));
  };

/** Markup; `null` takes an attribute away, and shows nothing between tags. */
export const html = tagged(markup);
/** The same within a drawing. */
export const svg = tagged(drawing);

/**
 * Renders; the focus stays with what has the same `data-focus`, also where that comes to stand in another place.
 * @param {any} value
 * @param {HTMLElement} place
 */
export function show(value, place) {
  const focus = document.activeElement;
  const held = focus instanceof HTMLElement && place.contains(focus) ? focus.closest("[data-focus]")?.getAttribute("data-focus") : null;
  render(value, place);
  if (!held || !(focus instanceof HTMLElement) || (focus.isConnected && focus.dataset.focus === held)) return;
  /** @type {HTMLElement | null} */
  const next = place.querySelector(`[data-focus="${CSS.escape(held)}"]`);
  if (next) next.focus({ preventScroll: true });
  else focus.blur();
}

// Units that need not be seen twice.
const UNITS = [" turns", " m", " mm"];
/** @type {(text: string, of: string | undefined) => any} */
const unit = (text, of) => (of && text.endsWith(of) ? html`${text.slice(0, -of.length)}<span class="u">${of}</span>` : text);

/**
 * A figure with its ± lighter than itself; the whole text stays what it was. A `brief` one hides what is said beside it.
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
 * The square that says good, close, bad or missing by shape first and colour second.
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
 * The last word of a mark's class, for the colour of a text.
 * @type {(kind: string) => string}
 */
export const tone = (kind) => `t-${(MARKS[kind] ?? MARKS.missing)[1]}`;
