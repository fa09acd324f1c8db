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

/** Names within a sentence, as `words.js` marks them. */
export const NAMED = /\u2068([^\u2069]*)\u2069/;
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
