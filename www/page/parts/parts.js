// Which part of the job is in front: one on a phone, one in each column of a wide screen. Every other is neither laid out nor painted.
//
// What each part is called and holds stands in the page itself; in which order, too. Nothing here knows a plan.

/** @typedef {"typed" | "told"} Column what you type, or what it says */

/** @type {Column[]} */
const COLUMNS = ["typed", "told"];
const wide = matchMedia("(min-width: 60rem)");
/** @type {Map<string, HTMLElement>} */
const sections = new Map();
for (const node of document.querySelectorAll("main .part"))
  if (node instanceof HTMLElement && node.dataset.part) sections.set(node.dataset.part, node);
/** @type {(name: string) => Column} */
const column = (name) => (section(name).closest("#forms") ? "typed" : "told");
/** @type {(of: Column) => string} */
const first = (of) => [...sections.keys()].find((name) => column(name) === of) ?? "";

/** @type {Record<Column, string>} */
const front = { typed: first("typed"), told: first("told") }; // in each column
let last = front.typed; // the one that was chosen last: on a phone the one in front
/** @type {Map<string, number>} */
const stood = new Map(); // how far down each was, when another took its place
/** @type {(name: string) => void} */
let changed = () => {};

/** The words of all parts, in the order of the page. */
export const names = [...sections.keys()];
/**
 * The words of the parts of one column, "typed" or "told".
 * @type {(of: Column) => string[]}
 */
export const columnNames = (of) => names.filter((name) => column(name) === of);
/**
 * Whether a word is a part's.
 * @param {string | null | undefined} word
 * @returns {word is string}
 */
export function isPart(word) {
  return typeof word === "string" && sections.has(word);
}
/** Whether two parts are seen at once. */
export const isWide = () => wide.matches;
/** The part that was chosen last. */
export const chosen = () => last;
/**
 * Whether a part is in front.
 * @type {(name: string) => boolean}
 */
export const inFront = (name) => (wide.matches ? front[column(name)] === name : last === name);
/**
 * The part that holds an element, or nothing.
 * @type {(node: Element | null) => string | null}
 */
export const holding = (node) => node?.closest(".part")?.getAttribute("data-part") ?? null;
/**
 * A part's element.
 * @param {string} name
 */
export function section(name) {
  const node = sections.get(name);
  if (!node) throw new Error(`no part ${name}`);
  return node;
}

/**
 * The parts of an address's fragment: the word of a part, and the link behind it.
 * @param {string} fragment
 */
export function split(fragment) {
  const at = fragment.lastIndexOf("/");
  if (at < 0) return isPart(fragment) ? { part: fragment, link: "" } : { part: null, link: fragment };
  const [word] = fragment.split("/");
  return { part: isPart(word) ? word : null, link: fragment.slice(at + 1) };
}

/**
 * What is scrolled to see more of a part: its column where that scrolls by itself, else the page.
 * @param {Element} [node]
 * @returns {Element}
 */
export function scroller(node) {
  const pane = wide.matches ? node?.closest("#forms") : null;
  return pane ?? document.scrollingElement ?? document.documentElement;
}

/** Where the page begins to hold parts: there a heading stands directly beneath what stays in view. */
function threshold() {
  const above = [...document.querySelectorAll(".top, #bar, #beside:not([hidden]), #by-hand:not([hidden])")];
  return above.reduce((sum, node) => sum + (node instanceof HTMLElement ? node.offsetHeight : 0), 0);
}

/**
 * Brings a part to the front. `focus` gives its heading the focus. What is scrolled is where it was when it was there last.
 * @param {string} name
 */
export function show(name, { focus = false } = {}) {
  if (!sections.has(name)) return;
  if (!inFront(name)) {
    const pane = scroller(section(name));
    stood.set(wide.matches ? front[column(name)] : last, pane.scrollTop);
    place(name);
    const top = pane === document.scrollingElement ? Math.min(pane.scrollTop, threshold()) : 0;
    pane.scrollTo({ top: stood.get(name) ?? top, behavior: "instant" });
  } else place(name);
  if (focus) section(name).querySelector("h2")?.focus({ preventScroll: true });
}

/** @param {string} name */
function place(name) {
  last = name;
  front[column(name)] = name;
  lay();
  changed(name);
}

// Found in the page by the browser's own search, a part comes to the front; other hidden things are hidden from that as well.
function lay() {
  for (const [name, node] of sections) {
    if (inFront(name)) node.removeAttribute("hidden");
    else if (node.getAttribute("hidden") === null) node.setAttribute("hidden", "until-found");
  }
}

/**
 * Brings the part to the front that holds an element; tells whether it was not there before.
 * @param {Element | null} node
 */
export function reveal(node) {
  const name = holding(node);
  if (!name || inFront(name)) return false;
  show(name);
  return true;
}

/**
 * Says which parts are to be in front at the start; nothing is scrolled.
 * @param {string | null | undefined} name
 * @param {Partial<Record<Column, string>>} [beside]
 */
export function open(name, beside = {}) {
  for (const of of COLUMNS) {
    const wanted = beside[of];
    if (isPart(wanted) && column(wanted) === of) front[of] = wanted;
  }
  place(isPart(name) ? name : last);
}

/** Which parts are in front, for somebody who comes back. */
export const kept = () => ({ chosen: last, ...front });

/**
 * Starts; `told` hears of every change.
 * @param {(name: string) => void} told
 */
export function start(told) {
  changed = told;
  for (const [name, node] of sections) node.addEventListener("beforematch", () => show(name));
  wide.addEventListener("change", () => place(last));
  lay();
}
