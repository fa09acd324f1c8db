// The inputs: the car, its limits, and a card for each rack.

import { most } from "../../core.js";
import { byId, find, findAll, setHidden } from "../../widgets/dom.js";
import * as fields from "../../widgets/fields.js";
import { html, mark, nothing, render, textTone } from "../../widgets/html.js";
import { limitLength } from "../../widgets/note.js";
import { entry, open } from "../../state/plan.js";
import { isFull } from "../../state/racks.js";
import { act, rackName, state, text } from "../../state/state.js";
import { axisAtRodEnd } from "../../widgets/tape/car.js";
import { overview, withSteps } from "../../widgets/tape/panel.js";
import { filled, followRacks, forgetAll, rackKey, rememberRacks, unfolded } from "./unfolded.js";
import { words } from "../../words.js";
import { CAR, LIMITS, RACK } from "./measurements.js";

/** Builds all inputs for the open draft: what is there already stays, with focus and caret. */
export function build() {
  fields.dropRacks(open.draft.racks.length);
  followRacks();
  const first = filled.size === 0;
  filled.add(open.draft.chosen);
  render(carForm(), byId("car-form"));
  layCards();
  const full = isFull() && open.mode !== "friend";
  byId("racks-full").hidden = !full;
  for (const button of findAll("[data-do=add-rack]", document, HTMLButtonElement)) {
    button.hidden = open.mode === "friend";
    button.disabled = full;
  }
  // A template does not see what a person has unfolded.
  for (const [i, card] of cards().entries()) {
    if (card instanceof HTMLDetailsElement) card.open = unfolded.has(rackKey(i));
    for (const more of findAll("details.more", card, HTMLDetailsElement)) more.open = unfolded.has(more.dataset.more ?? "");
  }
  if (first) unfold(open.draft.chosen);
}

function layCards() {
  render(
    open.draft.racks.map((_, i) => card(i)),
    byId("rack-cards"),
  );
  for (const [i, rack] of open.draft.racks.entries())
    if (filled.has(i))
      for (const [field, text] of /** @type {const} */ ([
        [nameField(i), rack.name],
        [noteField(i), rack.note],
      ]))
        if (field.value !== text) field.value = text;
}

/**
 * Gives a rack's card its fields, unless it has them.
 * @type {(i: number) => void}
 */
function fill(i) {
  if (filled.has(i)) return;
  filled.add(i);
  layCards();
  fields.paint();
  paintHeads();
}

/** @type {(i: number) => HTMLInputElement} */
const nameField = (i) => byId(`name-${i}`, HTMLInputElement);
/** @type {(i: number) => HTMLTextAreaElement} */
const noteField = (i) => byId(`note-${i}`, HTMLTextAreaElement);

/** @type {(key: string, event: Event) => void} */
function noted(key, { currentTarget }) {
  if (currentTarget instanceof HTMLDetailsElement && currentTarget.open) unfolded.add(key);
  else unfolded.delete(key);
}

/** @type {(key: string, title: string, sub: string | null, inside: unknown) => unknown} */
const fold = (key, title, sub, inside) => html`
  <details class="more" data-more=${key} ?open=${unfolded.has(key)} @toggle=${(/** @type {Event} */ event) => noted(key, event)}>
    <summary>${title}</summary>
    ${sub ? html`<p class="sub">${sub}</p>` : null}${inside}
  </details>
`;

/** @type {(prefix: string, names: string[]) => HTMLElement[]} */
const each = (prefix, names) => names.map((name) => fields.field(`${prefix}.${name}`));
/** @type {(prefix: string, names: string[]) => unknown} */
const fieldsOf = (prefix, names) => html`<div class="fields">${each(prefix, names)}</div>`;

/**
 * Two measurements of which either will do: a pair of buttons chooses which one is asked for.
 * @type {(prefix: string, names: string[], now: string, legend: string, labels: Record<string, string>, choose: (name: string) => void) => unknown}
 */
function either(prefix, names, now, legend, labels, choose) {
  const id = `which-${prefix}-${names[0]}`;
  /** @type {(name: string) => unknown} */
  const button = (name) => html`
    <button
      type="button"
      data-which=${`${prefix}.${name}`}
      data-focus=${`which-${prefix}.${name}`}
      aria-pressed=${String(name === now)}
      @click=${() => choose(name)}
    >
      ${labels[name]}
    </button>
  `;
  return html`
    <div class="either">
      <div class="which">
        <span id=${id}>${legend}</span>
        <div class="pair" role="group" aria-labelledby=${id}>${names.map(button)}</div>
      </div>
      ${fields.field(`${prefix}.${now}`)}
    </div>
  `;
}

// The one that was chosen; else the only one filled in; else the first.
/** @type {(prefix: string, names: string[], chosen: string | null) => string} */
function measured(prefix, names, chosen) {
  const filled = names.filter((name) => entry(`${prefix}.${name}`)?.text);
  return chosen ?? (filled.length === 1 ? filled[0] : names[0]);
}

/** @type {{ whole: HTMLElement, axis: HTMLElement[] } | null} */
let drawn = null; // the two drawings that belong to no field

function carForm() {
  const spacing = measured("car", CAR.spacings, open.draft.spacing);
  const other = CAR.spacings.filter((name) => name !== spacing);
  drawn ??= { whole: overview(), axis: withSteps(words.tape.axisTitle, [axisAtRodEnd()], words.tape.axis) };
  /** @type {(named: [string, string[]]) => unknown} */
  const group = ([key, names]) => html`
    <div class="group">
      <h3 class="minor">${words.car.groups[key]}</h3>
      ${fieldsOf("car", key === "axis" ? [...other, ...names] : names)}
    </div>
  `;
  return html`
    <figure class="where">${drawn.whole}</figure>
    <div class="fields">
      ${each("car", CAR.first)}
      ${either("car", CAR.spacings, spacing, words.car.whichever, words.car.spacing, (name) => act.chooseSpacing(name))}
      ${each("car", CAR.arm)}
    </div>
    <div class="group room">
      <h3 class="minor">${words.car.room}</h3>
      <p class="sub">${words.car.roomSub}</p>
      ${fieldsOf("car", CAR.room)}
    </div>
    <div class="group room">
      <h3 class="minor">${words.points.wayTitle}</h3>
      <p class="sub">${words.points.waySub}</p>
      <button type="button" class="wide" data-part-link="points">${words.points.way}</button>
    </div>
    ${fold("axis", words.tape.axisTitle, null, drawn.axis)}
    ${fold("car", words.car.more, words.car.moreSub, Object.entries(CAR.more).map(group))}
    ${fold("limits", words.car.limits, words.car.limitsSub, fieldsOf("limits", LIMITS.wanted))}
    ${fold("unusual", words.car.unusual, words.car.unusualSub, fieldsOf("limits", LIMITS.unusual))}
  `;
}

/** @type {(i: number) => unknown} */
function card(i) {
  const key = rackKey(i);
  const toggled = (/** @type {Event} */ event) => {
    noted(key, event);
    if (unfolded.has(key)) fill(i);
  };
  return html`
    <details class="card" data-rack=${i} ?open=${unfolded.has(key)} @toggle=${toggled}>
      <summary @click=${() => fill(i)}></summary>
      ${filled.has(i) ? cardBody(i) : null}
    </details>
  `;
}

/** @type {(i: number) => unknown} */
function cardBody(i) {
  const prefix = `racks.${i}`;
  const rack = open.draft.racks[i];
  const friend = open.mode === "friend";
  const way = measured(prefix, RACK.travel, rack.travelBy);
  const key = rackKey(i);
  const turned = measured(prefix, RACK.turned, null);
  const more = [...RACK.travel.filter((name) => name !== way), ...RACK.turned.filter((name) => name !== turned), ...RACK.more];
  /** @type {(what: string, text: string, off?: boolean) => unknown} */
  const button = (what, text, off = false) => html`
    <button
      type="button"
      class="quiet"
      data-do=${what}
      data-rack=${i}
      data-focus=${`${what}-${i}`}
      ?disabled=${off || friend}
      aria-label=${`${text}: ${rackName(i)}`}
      aria-describedby=${what === "copy-rack" ? "racks-full" : null}
    >
      ${text}
    </button>
  `;
  return html`
    <div class="fields">
      ${each(prefix, [...RACK.first, turned])}
      ${either(prefix, RACK.travel, way, words.rack.whichever, words.rack.travel, (name) => act.chooseTravelBy(i, name))}
      ${each(prefix, RACK.direction)}
    </div>
    <div class="which marks">
      <span id=${`marks-${i}`}>${words.rack.mark}</span>
      <div class="pair" role="group" aria-labelledby=${`marks-${i}`}></div>
    </div>
    <div class="texts">
      <label for=${`name-${i}`}>${words.rack.name}</label>
      <input
        id=${`name-${i}`}
        data-field=${`${prefix}.name`}
        type="text"
        dir="auto"
        enterkeyhint="next"
        autocomplete="off"
        placeholder=${words.plan.rack(i + 1)}
        ?readonly=${friend}
        @input=${() => act.rackText(i, "name", limitLength(nameField(i), most.name))}
      />
      <label for=${`note-${i}`}>${words.rack.note}<span class="hint">${words.rack.noteHint}</span></label>
      <textarea
        id=${`note-${i}`}
        data-field=${`${prefix}.note`}
        rows="2"
        dir="auto"
        ?readonly=${friend}
        @input=${() => act.rackText(i, "note", limitLength(noteField(i), most.note))}
      ></textarea>
    </div>
    ${fold(`${key}-fitted`, words.rack.fitted, words.rack.fittedSub, fieldsOf(prefix, RACK.fitted))}
    ${fold(`${key}-more`, words.rack.more, null, fieldsOf(prefix, more))}
    <div class="buttons">
      <button
        type="button"
        class="quiet choose"
        data-do="choose"
        data-rack=${i}
        data-focus=${`choose-${i}`}
        aria-label=${`${words.rack.choose}: ${rackName(i)}`}
      >
        ${words.rack.choose}
      </button>
      ${button("copy-rack", words.do.copy, isFull())}${button("up-rack", words.do.up, i === 0)}
      ${button("down-rack", words.do.down, i === open.draft.racks.length - 1)}${button("remove-rack", words.do.remove)}
    </div>
  `;
}

const cards = () => findAll(".card", byId("rack-cards"));

/** @type {(card: HTMLElement, selector: string) => HTMLElement} */
const inside = (card, selector) => /** @type {HTMLElement} */ (card.querySelector(selector));

/** Shows the verdicts in the cards' heads, and what the builder means to do with each rack. */
export function paintHeads() {
  rememberRacks();
  for (const [i, card] of cards().entries()) {
    render(head(i), inside(card, "summary"));
    if (!filled.has(i)) continue;
    render(
      Object.keys(words.rack.marks).map((word) => meant(i, word)),
      inside(card, ".marks .pair"),
    );
    setHidden(inside(card, ".choose"), i === open.draft.chosen);
  }
}

/** @type {(i: number) => unknown} */
function head(i) {
  const verdict = state.shown?.racks[i]?.verdict;
  const word = open.draft.racks[i]?.mark;
  return html`
    <span class="sign" data-kind=${verdict?.kind}>${verdict ? mark(verdict.kind) : null}</span>
    <span class="rack-title">
      <span class="rack-name">${rackName(i)}</span>
      <span class=${verdict ? `rack-words ${textTone(verdict.kind)}` : "rack-words"}>${text(verdict?.head)}</span>
    </span>
    <span class="tag marked" ?hidden=${!word}>${words.rack.marks[word ?? ""] ?? ""}</span>
    <span class="tag" ?hidden=${i !== open.draft.chosen}>${words.rack.chosen}</span>
  `;
}

/** @type {(i: number, word: string) => unknown} */
const meant = (i, word) => html`
  <button
    type="button"
    data-mark=${word}
    data-focus=${`mark-${word}-${i}`}
    aria-pressed=${String(open.draft.racks[i]?.mark === word)}
    ?disabled=${open.mode === "friend"}
    @click=${() => act.markRack(i, word)}
  >
    ${words.rack.marks[word]}
  </button>
`;

/**
 * Unfolds a rack's card.
 * @type {(i: number) => HTMLDetailsElement | null}
 */
export function unfold(i) {
  const card = find(`details.card[data-rack="${i}"]`, document, HTMLDetailsElement);
  if (!card) return null;
  fill(i);
  // The event that says so comes later.
  unfolded.add(rackKey(i));
  card.open = true;
  return card;
}

/** For a plan that was not open before: nothing of the form is left, nor what was unfolded. */
export function foldAll() {
  forgetAll();
  fields.clear();
  for (const id of ["car-form", "rack-cards"]) render(nothing, byId(id));
}
