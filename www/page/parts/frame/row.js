// The row of parts, under the thumb or over both columns, the list of the whole job, and the way on at the end of each part. How a part
// stands comes from the core: a mark, a word, a sentence.

import { byId, closest, find, targetOf } from "../../widgets/dom.js";
import { html, mark, render } from "../../widgets/html.js";
import { partOf } from "../form/measurements.js";
import * as parts from "../parts.js";
import { results } from "../results.js";
import { open } from "../../state/plan.js";
import { act, state, text } from "../../state/state.js";
import { words } from "../../words.js";

/** @import { PartState } from "../../../types/core" */
/** @import { Column } from "../../../types/page" */
/** @typedef {Partial<PartState> & { name: string, label: string, href: string | undefined, current: "page" | null }} Shown a part as row and list show it */

/** @type {Column[]} */
const COLUMNS = ["typed", "told"];
const EDGE = 46; // px of each neighbour that stay visible, wide enough to be tapped
const LONGEST_LINK = 20_000; // characters: a longer link is left out of the parts' addresses, for an own plan is in the storage

/** @type {Map<string, string>} */
const hrefs = new Map(); // the address at which each part is in front
// The element after each part's heading: the note of what the part waits for is rendered before it.
const beneathHeading = new Map(parts.names.map((name) => [name, parts.section(name).querySelector("h2")?.nextElementSibling]));

const jobs = () => byId("jobs", HTMLDialogElement);

/** Listens once. */
export function build() {
  document.addEventListener("click", followLink);
  byId("parts-all").addEventListener("click", show);
  byId("jobs-close").addEventListener("click", () => jobs().close());
  // A tap beside the list closes it.
  jobs().addEventListener("click", (event) => event.target === jobs() && jobs().close());
  new ResizeObserver(scroll).observe(byId("parts-row"));
  keyboard();
}

/** Opens the list of the whole job, on the part that is in front. */
export function show() {
  jobs().showModal();
  (find(`[data-part-link="${parts.chosen()}"]`, byId("jobs-list")) ?? byId("jobs-title")).focus();
}

// A link to a part leads there within the page; opened in another tab it is an address as any other.
/** @type {(event: MouseEvent) => void} */
function followLink(event) {
  const link = closest(targetOf(event), "[data-part-link]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
  event.preventDefault();
  if (jobs().open) jobs().close();
  act.goToPart(link.dataset.partLink ?? "");
}

/** Shows how every part stands. */
export function paint() {
  /** @type {Shown[]} */
  const every = parts.names.map((name) => ({
    name,
    label: words.parts.names[name],
    href: hrefs.get(name),
    current: parts.inFront(name) ? "page" : null,
    ...state.shown?.parts.find((one) => one.part === name),
  }));
  const all = every.filter(({ name, there }) => there !== false || parts.wasShown(name));
  /** @type {(column: Column) => Shown[]} */
  const of = (column) => all.filter(({ name }) => parts.columnNames(column).includes(name));
  const ok = (/** @type {{ status: string }} */ r) => r.status === "ok";
  const known = state.shown?.racks.some((rack) => rack.results.some(ok)) ?? false;
  const rack = state.shown?.racks[open.draft.chosen];
  const curve = rack !== undefined && results(rack, "bump_peak").some(ok);
  render(
    COLUMNS.map((column) => html`<ul aria-label=${words.parts.columns[column]}>${of(column).map(inRow)}</ul>`),
    byId("parts-row"),
  );
  render(
    COLUMNS.map(
      (column) => html`
        <h3 id=${`jobs-${column}`}>${words.parts.columns[column]}</h3>
        <ul aria-labelledby=${`jobs-${column}`}>${of(column).map(inList)}</ul>
      `,
    ),
    byId("jobs-list"),
  );
  for (const [n, one] of all.entries()) {
    const section = parts.section(one.name);
    render(nextPart(all[(n + 1) % all.length]), section);
    render(waitingNote(one, section, ["bump", "place"].includes(one.name) ? curve : known), section, {
      renderBefore: beneathHeading.get(one.name),
    });
  }
}

/** @type {(one: Shown) => unknown} */
const sign = ({ kind }) => html`<span class="sign" aria-hidden="true" data-kind=${kind ?? ""}>${kind ? mark(kind) : null}</span>`;
/** @type {(one: Shown) => unknown} */
const spokenState = ({ kind }) => html`<span class="sr">${kind ? `, ${words.parts.ear[kind]}` : ""}</span>`;

/** @type {(one: Shown) => unknown} */
const inRow = (one) => html`
  <li>
    <a data-part-link=${one.name} data-focus=${`part-word-${one.name}`} href=${one.href} aria-current=${one.current}>
      <span class="name">${one.label}</span>
      <span class="state">${sign(one)}<span class="word">${text(one.word)}</span>${spokenState(one)}</span>
    </a>
  </li>
`;

/** @type {(one: Shown) => unknown} */
const inList = (one) => html`
  <li>
    <a data-part-link=${one.name} data-focus=${`part-says-${one.name}`} href=${one.href} aria-current=${one.current}>
      ${sign(one)}<span class="name">${one.label}</span><span class="says">${text(one.says)}</span>${spokenState(one)}
    </a>
  </li>
`;

/** @type {(one: Shown) => unknown} */
const nextPart = (one) => html`
  <a class="next" data-part-link=${one.name} href=${one.href}>
    <span><b>${words.parts.onTo(one.label)}</b><span class="sub">${text(one.says)}</span></span>
  </a>
`;

// A part that cannot answer yet says so, with a button to the missing measurement; the rest of it is hidden as long as no figure is known.
/** @type {(one: Shown, section: HTMLElement, known: boolean) => unknown} */
function waitingNote(one, section, known) {
  const { lacks = "" } = one;
  const to = partOf(lacks);
  const waits = to !== null && to !== one.name && one.kind === "missing";
  section.classList.toggle("waits", waits && !known);
  return html`
    <div class="sheet lack" ?hidden=${!waits}>
      <p>${waits ? text(one.says) : ""}</p>
      <button type="button" class="strong" data-focus=${`lack-${one.name}`} data-path=${lacks} @click=${() => act.goToField(lacks)}>
        ${waits ? words.parts.to(words.parts.names[to]) : ""}
      </button>
    </div>
  `;
}

/**
 * Shows which part is in front, and where each link leads: `at(part)` follows its `#`.
 * @type {(at: (part: string, longest?: number) => string) => void}
 */
export function updateLinks(at) {
  for (const name of parts.names) hrefs.set(name, `${location.origin}${location.pathname}#${at(name, LONGEST_LINK)}`);
  paint();
  scroll();
}

// Scrolls the row as little as needed to show the part's link and the edges of both neighbours.
function scroll() {
  const link = find(`[data-part-link="${parts.chosen()}"]`, byId("parts-row"));
  const row = parts.isWide() ? link?.closest("ul") : byId("parts-row");
  if (!link || !row) return;
  const [at, seen] = [link.getBoundingClientRect(), row.getBoundingClientRect()];
  if (!seen.width || !at.width) return;
  /** @type {(low: number, high: number, from: number, to: number) => number} */
  const by = (low, high, from, to) => Math.max(0, high + EDGE - to) - Math.max(0, from - low + EDGE);
  row.scrollBy({
    left: by(at.left, at.right, seen.left, seen.right),
    top: by(at.top, at.bottom, seen.top, seen.bottom),
    behavior: "instant",
  });
}

// ---- while somebody types ----

let tallest = 0;

/**
 * While a keyboard is up the row is hidden and the strip is one line.
 * @type {(on: boolean) => void}
 */
export function setTyping(on) {
  if (isTyping() === on) return;
  document.body.classList.toggle("typing", on);
  if (on) tallest = 0;
}

// A keyboard that is closed leaves the focus in the field: the visual viewport's height tells, and the row comes back.
function keyboard() {
  const view = window.visualViewport;
  view?.addEventListener("resize", () => {
    const { height, scale } = view;
    if (scale > 1.01 || !isTyping()) return;
    tallest = tallest || height;
    if (height < tallest) tallest = height;
    else if (height > tallest + 120) setTyping(false);
  });
}

/** Whether the page has made room for a keyboard. */
export const isTyping = () => document.body.classList.contains("typing");

/**
 * Whether an element brings a keyboard up.
 * @type {(node: EventTarget | null) => boolean}
 */
export const bringsKeyboard = (node) =>
  node instanceof HTMLInputElement ? node.type !== "range" && !node.readOnly : node instanceof HTMLTextAreaElement && !node.readOnly;
