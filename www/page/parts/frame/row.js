// The row of parts, under the thumb or over both columns, the list of the whole job, and the way on at the end of each part. How a part
// stands comes from the core: a mark, a word, a sentence.

import { html, mark, render } from "../../widgets/html.js";
import * as parts from "../parts.js";
import { act, state, text } from "../../state/state.js";
import { words } from "../../words.js";

const COLUMNS = ["typed", "told"];
const EDGE = 46; // px of each neighbour that can be hit
const LONG = 20_000; // characters of a link that need not stand in every address of one's own plan

const hrefs = new Map(); // the address at which each part is in front
// Before what stands beneath each part's heading there is room for what it waits for.
const firsts = new Map(parts.names.map((name) => [name, parts.section(name).querySelector("h2").nextElementSibling]));

const part = (id) => document.getElementById(id);

/** Listens once. */
export function build() {
  document.addEventListener("click", follow);
  part("parts-all").addEventListener("click", show);
  part("jobs-close").addEventListener("click", () => part("jobs").close());
  // A tap beside the list closes it.
  part("jobs").addEventListener("click", (event) => event.target === part("jobs") && part("jobs").close());
  new ResizeObserver(scroll).observe(part("parts-row"));
  keyboard();
}

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
export function paint() {
  const all = parts.names.map((name) => ({
    name,
    label: words.parts.names[name],
    href: hrefs.get(name),
    current: parts.inFront(name) ? "page" : null,
    ...state.shown?.parts.find((one) => one.part === name),
  }));
  const of = (column) => all.filter(({ name }) => parts.columnNames(column).includes(name));
  const known = state.shown?.racks.some((rack) => rack.results.some((r) => r.status === "ok"));
  render(
    COLUMNS.map((column) => html`<ul aria-label=${words.parts.columns[column]}>${of(column).map(inRow)}</ul>`),
    part("parts-row"),
  );
  render(
    COLUMNS.map(
      (column) => html`
        <h3 id=${`jobs-${column}`}>${words.parts.columns[column]}</h3>
        <ul aria-labelledby=${`jobs-${column}`}>${of(column).map(inList)}</ul>
      `,
    ),
    part("jobs-list"),
  );
  for (const [n, one] of all.entries()) {
    const section = parts.section(one.name);
    render(onTo(all[(n + 1) % all.length]), section);
    render(lack(one, section, known), section, { renderBefore: firsts.get(one.name) });
  }
}

const sign = ({ kind }) => html`<span class="sign" aria-hidden="true" data-kind=${kind ?? ""}>${kind ? mark(kind) : null}</span>`;
const ear = ({ kind }) => html`<span class="sr">${kind ? `, ${words.parts.ear[kind]}` : ""}</span>`;

const inRow = (one) => html`
  <li>
    <a data-part-link=${one.name} data-focus=${`part-word-${one.name}`} href=${one.href} aria-current=${one.current}>
      <span class="name">${one.label}</span>
      <span class="state">${sign(one)}<span class="word">${text(one.word)}</span>${ear(one)}</span>
    </a>
  </li>
`;

const inList = (one) => html`
  <li>
    <a data-part-link=${one.name} data-focus=${`part-says-${one.name}`} href=${one.href} aria-current=${one.current}>
      ${sign(one)}<span class="name">${one.label}</span><span class="says">${text(one.says)}</span>${ear(one)}
    </a>
  </li>
`;

const onTo = (one) => html`
  <a class="next" data-part-link=${one.name} href=${one.href}>
    <span><b>${words.parts.onTo(one.label)}</b><span class="sub">${text(one.says)}</span></span>
  </a>
`;

// What cannot answer yet says so in a line, with a button to what is missing; it holds nothing else as long as no figure is known.
function lack(one, section, known) {
  const to = { car: "car", limits: "car", racks: "racks" }[one.lacks?.split(".")[0]] ?? null;
  const waits = to !== null && to !== one.name && one.kind === "missing";
  section.classList.toggle("waits", waits && !known);
  return html`
    <div class="sheet lack" ?hidden=${!waits}>
      <p>${waits ? text(one.says) : ""}</p>
      <button type="button" class="strong" data-focus=${`lack-${one.name}`} data-path=${one.lacks} @click=${() => act.fill(one.lacks)}>
        ${waits ? words.parts.to(words.parts.names[to]) : ""}
      </button>
    </div>
  `;
}

/** Shows which part is in front, and where each link leads: `at(part)` follows its `#`. */
export function current(at) {
  for (const name of parts.names) hrefs.set(name, `${location.origin}${location.pathname}#${at(name, LONG)}`);
  paint();
  scroll();
}

// As little as lets the part be hit, and both its neighbours.
function scroll() {
  const link = part("parts-row").querySelector(`[data-part-link="${parts.chosen()}"]`);
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
