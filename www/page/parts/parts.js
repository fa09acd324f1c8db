// Which part of the job is in front: one on a phone, one in each column of a wide screen. Every other is neither laid out nor painted.
//
// Names, contents and order of the parts are those of `index.html`. Nothing here knows a plan.

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
let chosenPart = front.typed; // the one that was chosen last: on a phone the one in front
/** @type {Map<string, number>} */
const scrollTops = new Map(); // how far each was scrolled when another took its place
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
export const chosen = () => chosenPart;
/**
 * Whether a part is in front.
 * @type {(name: string) => boolean}
 */
export const inFront = (name) => (wide.matches ? front[column(name)] === name : chosenPart === name);
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
 * Brings a part to the front, scrolled to where it was last. `focus` gives its heading the focus; `quiet` leaves it to the caller to show it in
 * the address and to paint it.
 * @param {string} name
 */
export function show(name, { focus = false, quiet = false } = {}) {
  if (!sections.has(name)) return;
  if (!inFront(name)) {
    const pane = scroller(section(name));
    scrollTops.set(wide.matches ? front[column(name)] : chosenPart, pane.scrollTop);
    bring(name, quiet);
    const top = pane === document.scrollingElement ? Math.min(pane.scrollTop, threshold()) : 0;
    pane.scrollTo({ top: scrollTops.get(name) ?? top, behavior: "instant" });
  } else bring(name, quiet);
  if (focus) section(name).querySelector("h2")?.focus({ preventScroll: true });
}

/** @type {Set<string>} */
const asked = new Set();
/**
 * Whether somebody came to that part: one that is not there unasked then stays.
 * @type {(name: string) => boolean}
 */
export const wasShown = (name) => asked.has(name);

/** @type {(name: string, quiet?: boolean) => void} */
function bring(name, quiet = false) {
  asked.add(name);
  chosenPart = name;
  front[column(name)] = name;
  updateHidden();
  if (!quiet) changed(name);
}

// `until-found` lets the browser's own search find a hidden part (`beforematch` then brings it to the front).
function updateHidden() {
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
 * Sets which parts are in front at the start; nothing is scrolled.
 * @param {string | null | undefined} name
 * @param {Partial<Record<Column, string>>} [beside]
 */
export function open(name, beside = {}) {
  for (const of of COLUMNS) {
    const wanted = beside[of];
    if (isPart(wanted) && column(wanted) === of) front[of] = wanted;
  }
  bring(isPart(name) ? name : chosenPart);
}

/** Which parts are in front, for somebody who comes back. */
export const partsInFront = () => ({ chosen: chosenPart, ...front });

/**
 * Starts; `told` is called at every change.
 * @param {(name: string) => void} told
 */
export function start(told) {
  changed = told;
  for (const [name, node] of sections) node.addEventListener("beforematch", () => show(name));
  wide.addEventListener("change", () => bring(chosenPart));
  updateHidden();
}
