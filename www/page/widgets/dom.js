// Making and changing elements. Text goes in as text, never as markup.

/** @typedef {Node | string | null | undefined | false} Child */
/** @typedef {Record<string, any>} Attributes */

/**
 * An element: attributes by name (`on…` are listeners, `class`, `data-…`, booleans), then its children.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {Attributes} [attributes]
 * @param {(Child | Child[] | Child[][])[]} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function h(tag, attributes = {}, ...children) {
  return furnish(document.createElement(tag), attributes, children);
}

/**
 * The same for a drawing.
 * @template {keyof SVGElementTagNameMap} T
 * @param {T} tag
 * @param {Attributes} [attributes]
 * @param {(Child | Child[] | Child[][])[]} children
 * @returns {SVGElementTagNameMap[T]}
 */
export function s(tag, attributes = {}, ...children) {
  return furnish(document.createElementNS("http://www.w3.org/2000/svg", tag), attributes, children);
}

/**
 * @template {Element} T
 * @param {T} element
 * @param {Attributes} attributes
 * @param {(Child | Child[] | Child[][])[]} children
 * @returns {T}
 */
function furnish(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value === true ? "" : plain(value));
  }
  element.append(
    ...children
      .flat(2)
      .filter((child) => child !== null && child !== undefined && child !== false)
      .flatMap((child) => (typeof child === "string" ? apart(child) : [child])),
  );
  return element;
}

// Names within a sentence, as `words.js` marks them.
const NAMED = /\u2068([^\u2069]*)\u2069/;
const MARKED = /[\u2068\u2069]/g;

/**
 * A text without the marks round its names: what it reads.
 * @type {(text: any) => any}
 */
export const plain = (text) => (typeof text === "string" ? text.replace(MARKED, "") : text);

// A name stands apart from the words round it: it neither turns them round nor runs out of the page.
/** @type {(text: string) => (string | Node)[]} */
const apart = (text) => (NAMED.test(text) ? text.split(NAMED).map((part, i) => (i % 2 ? h("bdi", {}, part) : part)) : [plain(text)]);

/**
 * Changes a text only if it differs, and in the node that is there, so that nothing is laid out in vain.
 * @param {Element} element
 * @param {string} text
 */
export function say(element, text) {
  if (element.textContent === plain(text)) return;
  if (NAMED.test(text)) return void element.replaceChildren(...apart(text));
  const node = element.firstChild;
  if (node instanceof Text && !node.nextSibling) node.data = text;
  else element.textContent = text;
}

/**
 * Hides it or not; a browser takes even the same answer for a change.
 * @param {HTMLElement} element
 * @param {boolean} hidden
 */
export function hide(element, hidden) {
  if (element.hidden !== hidden) element.hidden = hidden;
}

/**
 * Sets an attribute, or takes it away for `null`.
 * @param {Element} element
 * @param {string} name
 * @param {any} value
 */
export function put(element, name, value) {
  if (value === null) element.removeAttribute(name);
  else if (element.getAttribute(name) !== plain(value)) element.setAttribute(name, plain(value));
}

// Units that need not be seen twice.
const UNITS = [" turns", " m", " mm"];
/** @type {(text: string, of: string | undefined) => (string | Node)[]} */
const unit = (text, of) => (of && text.endsWith(of) ? [text.slice(0, -of.length), h("span", { class: "u" }, of)] : [text]);

/**
 * A figure with its ± lighter than itself; the whole text stays what it was. A `brief` one hides what is said beside it.
 * @param {Element} element
 * @param {string} text
 * @param {boolean} [brief]
 */
export function figure(element, text, brief = false) {
  if (element.textContent === text) return;
  const at = text.indexOf(" ±");
  const [value, pm] = at < 0 ? [text, ""] : [text.slice(0, at), text.slice(at)];
  if (brief) {
    const twice = UNITS.find((u) => value.endsWith(u) && pm.endsWith(u));
    return void element.replaceChildren(h("b", {}, ...unit(value, " turns")), ...(pm ? [h("small", {}, ...unit(pm, twice))] : []));
  }
  const [big, small] = element.children;
  if (!big || Boolean(small) !== Boolean(pm)) element.replaceChildren(h("b", {}, value), ...(pm ? [h("small", {}, pm)] : []));
  else {
    say(big, value);
    if (small) say(small, pm);
  }
}

/**
 * The square that says good, close, bad or missing by shape first and colour second.
 * @param {string} kind
 */
export function mark(kind) {
  const [shape, colour] = MARKS[kind] ?? MARKS.missing;
  return h("span", { class: `mark ${colour}`, "aria-hidden": "true" }, shape);
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

/**
 * Replaces children and gives the focus back to the element that held it, by its `data-focus`.
 * @param {Element} parent
 * @param {(Node | string)[]} children
 */
export function swap(parent, children) {
  const focus = document.activeElement;
  const held = focus && parent.contains(focus) ? focus.closest("[data-focus]")?.getAttribute("data-focus") : null;
  parent.replaceChildren(...children);
  if (!held) return;
  /** @type {HTMLElement | null} */
  const next = parent.querySelector(`[data-focus="${CSS.escape(held)}"]`);
  next?.focus({ preventScroll: true });
}
