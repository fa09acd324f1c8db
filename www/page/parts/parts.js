// Which part of the job is in front: one on a phone, one in each column of a wide screen. Every other is neither laid out nor painted.
//
// What each part is called and holds stands in the page itself; in which order, too. Nothing here knows a plan.

const wide = matchMedia("(min-width: 60rem)");
const sections = new Map([...document.querySelectorAll("main .part")].map((section) => [section.dataset.part, section]));
const column = (name) => (sections.get(name).closest("#forms") ? "typed" : "told");
const first = (of) => [...sections.keys()].find((name) => column(name) === of);

const front = { typed: first("typed"), told: first("told") }; // in each column
let last = front.typed; // the one that was chosen last: on a phone the one in front
const stood = new Map(); // how far down each was, when another took its place
let changed = () => {};

/** The words of all parts, in the order of the page. */
export const names = [...sections.keys()];
/** The words of the parts of one column, "typed" or "told". */
export const columnNames = (of) => names.filter((name) => column(name) === of);
/** Whether a word is a part's. */
export const isPart = (word) => sections.has(word);
/** Whether two parts are seen at once. */
export const isWide = () => wide.matches;
/** The part that was chosen last. */
export const chosen = () => last;
/** Whether a part is in front. */
export const inFront = (name) => (wide.matches ? front[column(name)] === name : last === name);
/** The part that holds an element, or nothing. */
export const holding = (node) => node?.closest?.(".part")?.dataset.part ?? null;
/** A part's element. */
export const section = (name) => sections.get(name);

/** The parts of an address's fragment: the word of a part, and the link behind it. */
export function split(fragment) {
  const at = fragment.lastIndexOf("/");
  if (at < 0) return isPart(fragment) ? { part: fragment, link: "" } : { part: null, link: fragment };
  const [word] = fragment.split("/");
  return { part: isPart(word) ? word : null, link: fragment.slice(at + 1) };
}

/** What is scrolled to see more of a part: its column where that scrolls by itself, else the page. */
export const scroller = (node) => {
  const pane = wide.matches ? node?.closest?.("#forms") : null;
  return pane ?? document.scrollingElement;
};

/** Where the page begins to hold parts: there a heading stands directly beneath what stays in view. */
function threshold() {
  const above = [...document.querySelectorAll(".top, #bar, #beside:not([hidden]), #by-hand:not([hidden])")];
  return above.reduce((sum, node) => sum + node.offsetHeight, 0);
}

/** Brings a part to the front. `focus` gives its heading the focus. What is scrolled is where it was when it was there last. */
export function show(name, { focus = false } = {}) {
  if (!sections.has(name)) return;
  if (!inFront(name)) {
    const pane = scroller(sections.get(name));
    stood.set(wide.matches ? front[column(name)] : last, pane.scrollTop);
    place(name);
    const top = pane === document.scrollingElement ? Math.min(pane.scrollTop, threshold()) : 0;
    pane.scrollTo({ top: stood.get(name) ?? top, behavior: "instant" });
  } else place(name);
  if (focus) sections.get(name).querySelector("h2").focus({ preventScroll: true });
}

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

/** Brings the part to the front that holds an element; tells whether it was not there before. */
export function reveal(node) {
  const name = holding(node);
  if (!name || inFront(name)) return false;
  show(name);
  return true;
}

/** Says which parts are to be in front at the start; nothing is scrolled. */
export function open(name, beside = {}) {
  for (const of of ["typed", "told"]) if (isPart(beside[of]) && column(beside[of]) === of) front[of] = beside[of];
  place(isPart(name) ? name : last);
}

/** Which parts are in front, for somebody who comes back. */
export const kept = () => ({ chosen: last, ...front });

/** Starts; `told` hears of every change. */
export function start(told) {
  changed = told;
  for (const [name, node] of sections) node.addEventListener("beforematch", () => show(name));
  wide.addEventListener("change", () => place(last));
  lay();
}
