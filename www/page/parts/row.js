// The row of parts, under the thumb or over both columns, the list of the whole job, and the way on at the end of each part. How a part
// stands comes from the core: a mark, a word, a sentence.

import { h, hide, mark, put, say } from "../widgets/dom.js";
import * as parts from "./parts.js";
import { words } from "../words.js";

const COLUMNS = ["typed", "told"];
const EDGE = 46; // px of each neighbour that can be hit
const LONG = 20_000; // characters of a link that need not stand in every address of one's own plan

const places = new Map(); // by part: its places in the row and in the list, the way to it, what it waits for
let act = {};

const part = (id) => document.getElementById(id);

/** Builds them once. `actions`: `go(part)` and `fill(path)`, to what is missing. */
export function build(actions) {
  act = actions;
  for (const name of parts.names) places.set(name, { row: entry(name, "word"), list: entry(name, "says"), on: null, lack: null });
  part("parts-row").append(...COLUMNS.map((of) => list(of, "row")));
  part("jobs-list").append(...COLUMNS.flatMap((of) => [h("h3", { id: `jobs-${of}` }, words.parts.columns[of]), list(of, "list")]));
  for (const [n, name] of parts.names.entries()) {
    const next = parts.names[(n + 1) % parts.names.length];
    const says = h("span", { class: "sub" });
    const link = h(
      "a",
      { class: "next", "data-part-link": next },
      h("span", {}, h("b", {}, words.parts.onTo(words.parts.names[next])), says),
    );
    places.get(next).on = { link, says };
    parts.section(name).append(link);
    const line = h("p", {});
    const button = h("button", {
      type: "button",
      class: "strong",
      "data-focus": `lack-${name}`,
      onclick: () => act.fill(button.dataset.path),
    });
    const root = h("div", { class: "sheet lack", hidden: true }, line, button);
    places.get(name).lack = { root, line, button };
    parts.section(name).querySelector("h2").after(root);
  }
  document.addEventListener("click", follow);
  part("parts-all").addEventListener("click", show);
  part("jobs-close").addEventListener("click", () => part("jobs").close());
  // A tap beside the list closes it.
  part("jobs").addEventListener("click", (event) => event.target === part("jobs") && part("jobs").close());
  new ResizeObserver(scroll).observe(part("parts-row"));
  keyboard();
}

function entry(name, what) {
  const sign = h("span", { class: "sign", "aria-hidden": "true" });
  const text = h("span", { class: what });
  const ear = h("span", { class: "sr" });
  const label = h("span", { class: "name" }, words.parts.names[name]);
  const link = h(
    "a",
    { "data-part-link": name, "data-focus": `part-${what}-${name}` },
    ...(what === "word" ? [label, h("span", { class: "state" }, sign, text, ear)] : [sign, label, text, ear]),
  );
  return { link, sign, text, ear };
}

const list = (of, where) =>
  h(
    "ul",
    where === "row" ? { "aria-label": words.parts.columns[of] } : { "aria-labelledby": `jobs-${of}` },
    parts.columnNames(of).map((name) => h("li", {}, places.get(name)[where].link)),
  );

/** Opens the list of the whole job, on the part that is in front. */
export function show() {
  part("jobs").showModal();
  (part("jobs-list").querySelector(`[data-part-link="${parts.chosen()}"]`) ?? part("jobs-title")).focus();
}

// A link to a part leads there within the page; opened in another tab it is an address as any other.
function follow(event) {
  const link = event.target.closest("[data-part-link]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
  event.preventDefault();
  if (part("jobs").open) part("jobs").close();
  act.go(link.dataset.partLink);
}

/** Shows how every part stands. */
export function paint(view, text) {
  for (const state of view.parts) {
    const place = places.get(state.part);
    if (!place) continue;
    for (const [where, shown] of [
      [place.row, text(state.word)],
      [place.list, text(state.says)],
    ]) {
      if (where.sign.dataset.kind !== (state.kind ?? "")) where.sign.replaceChildren(...(state.kind ? [mark(state.kind)] : []));
      where.sign.dataset.kind = state.kind ?? "";
      say(where.text, shown);
      say(where.ear, state.kind ? `, ${words.parts.ear[state.kind]}` : "");
    }
    say(place.on.says, text(state.says));
    lack(state, place.lack, view, text);
  }
}

// What cannot answer yet says so in a line, with a button to what is missing; it holds nothing else as long as no figure is known.
function lack(state, { root, line, button }, view, text) {
  const of = state.lacks.split(".")[0];
  const to = { car: "car", limits: "car", racks: "racks" }[of] ?? null;
  const waits = to !== null && to !== state.part && state.kind === "missing";
  const known = view.racks.some((rack) => rack.results.some((r) => r.status === "ok"));
  hide(root, !waits);
  parts.section(state.part).classList.toggle("waits", waits && !known);
  if (!waits) return;
  say(line, text(state.says));
  say(button, words.parts.to(words.parts.names[to]));
  button.dataset.path = state.lacks;
}

/** Shows which part is in front, and where each link leads: `address(part)` follows its `#`. */
export function current(address) {
  for (const [name, { row, list: entry_, on }] of places) {
    for (const { link } of [row, entry_]) put(link, "aria-current", parts.inFront(name) ? "page" : null);
    const href = `${location.origin}${location.pathname}#${address(name, LONG)}`;
    for (const link of [row.link, entry_.link, on.link]) put(link, "href", href);
  }
  scroll();
}

// As little as lets the part be hit, and both its neighbours.
function scroll() {
  const link = places.get(parts.chosen()).row.link;
  const row = parts.isWide() ? link.closest("ul") : part("parts-row");
  const [at, seen] = [link.getBoundingClientRect(), row.getBoundingClientRect()];
  if (!seen.width || !at.width) return;
  const by = (low, high, from, to) => Math.max(0, high + EDGE - to) - Math.max(0, from - low + EDGE);
  row.scrollBy({
    left: by(at.left, at.right, seen.left, seen.right),
    top: by(at.top, at.bottom, seen.top, seen.bottom),
    behavior: "instant",
  });
}

// ---- while somebody types ----

let tallest = 0;

/** The row makes room and the strip is one line while a keyboard is up. */
export function typing(on) {
  if (isTyping() === on) return;
  document.body.classList.toggle("typing", on);
  if (on) tallest = 0;
}

// A keyboard that is put away leaves the focus where it was: then the row comes back.
function keyboard() {
  const view = window.visualViewport;
  view?.addEventListener("resize", () => {
    const { height, scale } = view;
    if (scale > 1.01 || !isTyping()) return;
    tallest = tallest || height;
    if (height < tallest) tallest = height;
    else if (height > tallest + 120) typing(false);
  });
}

/** Whether the page has made room for a keyboard. */
export const isTyping = () => document.body.classList.contains("typing");

/** Whether an element brings a keyboard up. */
export const typed = (node) => Boolean(node?.matches?.("input:not([type=range]), textarea") && !node.readOnly);
