// Finding, making and changing elements. Text goes in as text, never as markup.

/** @typedef {Node | string | null | undefined | false} Child */
/** @typedef {string | number | boolean | null | undefined} Value of an attribute */
/** @typedef {{ [K in keyof GlobalEventHandlersEventMap as `on${K}`]?: (event: GlobalEventHandlersEventMap[K]) => void }} Listeners */
/** @typedef {Listeners & Record<string, Value | ((event: never) => void)>} Attributes */

/**
 * The element with an id, which stands in `index.html` or in a template that was rendered; of a class of its own where that is given.
 * @template {HTMLElement} [T=HTMLElement]
 * @param {string} id
 * @param {{ new (): T, prototype: T } | typeof HTMLElement} [kind]
 * @returns {T}
 */
export function byId(id, kind = HTMLElement) {
  const element = document.getElementById(id);
  if (!(element instanceof kind)) throw new Error(`no element ${id}`);
  return /** @type {T} */ (element);
}

/**
 * The first element that matches a selector, if it is of that class.
 * @template {Element} [T=HTMLElement]
 * @param {string} selector
 * @param {ParentNode} [within]
 * @param {{ new (): T, prototype: T } | typeof HTMLElement} [kind]
 * @returns {T | null}
 */
export function find(selector, within = document, kind = HTMLElement) {
  const element = within.querySelector(selector);
  return element instanceof kind ? /** @type {T} */ (element) : null;
}

/**
 * All elements that match a selector and are of that class.
 * @template {Element} [T=HTMLElement]
 * @param {string} selector
 * @param {ParentNode} [within]
 * @param {{ new (): T, prototype: T } | typeof HTMLElement} [kind]
 * @returns {T[]}
 */
export const findAll = (selector, within = document, kind = HTMLElement) =>
  [...within.querySelectorAll(selector)].flatMap((element) => (element instanceof kind ? [/** @type {T} */ (element)] : []));

/**
 * The nearest element round this one, or this one, that matches a selector.
 * @type {(element: Element | null | undefined, selector: string) => HTMLElement | null}
 */
export function closest(element, selector) {
  const found = element?.closest(selector);
  return found instanceof HTMLElement ? found : null;
}

/**
 * The element at which something happened; none where that was the document or the window.
 * @type {(event: Event) => Element | null}
 */
export const targetOf = ({ target }) => (target instanceof Element ? target : null);

/**
 * An element: attributes by name (`on…` are listeners, `class`, `data-…`, booleans), then its children.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {Attributes} [attributes]
 * @param {(Child | Child[] | Child[][])[]} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function h(tag, attributes = {}, ...children) {
  return build(document.createElement(tag), attributes, children);
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
  return build(document.createElementNS("http://www.w3.org/2000/svg", tag), attributes, children);
}

/**
 * @template {Element} T
 * @param {T} element
 * @param {Attributes} attributes
 * @param {(Child | Child[] | Child[][])[]} children
 * @returns {T}
 */
function build(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (typeof value === "function") element.addEventListener(name.slice(2), /** @type {(event: Event) => void} */ (value));
    else element.setAttribute(name, value === true ? "" : plainText(String(value)));
  }
  element.append(
    ...children
      .flat(2)
      .filter((child) => child !== null && child !== undefined && child !== false)
      .flatMap((child) => (typeof child === "string" ? withNames(child) : [child])),
  );
  return element;
}

/** Names within a sentence, as `words.js` marks them. */
export const NAMED = /\u2068([^\u2069]*)\u2069/;
const MARKED = /[\u2068\u2069]/g;

/**
 * A text without the marks around its names.
 * @type {(text: string) => string}
 */
export const plainText = (text) => text.replace(MARKED, "");

// A name becomes a `<bdi>`: its direction does not affect the text around it, and it may wrap.
/** @type {(text: string) => (string | Node)[]} */
const withNames = (text) =>
  NAMED.test(text) ? text.split(NAMED).map((part, i) => (i % 2 ? h("bdi", {}, part) : part)) : [plainText(text)];

/**
 * Sets an element's text only if it differs, and in the text node that is there, so that no layout is caused in vain.
 * @param {Element} element
 * @param {string} text
 */
export function setText(element, text) {
  if (element.textContent === plainText(text)) return;
  if (NAMED.test(text)) return void element.replaceChildren(...withNames(text));
  const node = element.firstChild;
  if (node instanceof Text && !node.nextSibling) node.data = text;
  else element.textContent = text;
}

/**
 * Sets `hidden` only if it differs: browsers treat even the same value as a change.
 * @param {HTMLElement} element
 * @param {boolean} hidden
 */
export function setHidden(element, hidden) {
  if (element.hidden !== hidden) element.hidden = hidden;
}

/**
 * Sets an attribute only if it differs; `null` removes it.
 * @param {Element} element
 * @param {string} name
 * @param {string | null} value
 */
export function updateAttribute(element, name, value) {
  if (value === null) element.removeAttribute(name);
  else if (element.getAttribute(name) !== plainText(value)) element.setAttribute(name, plainText(value));
}
