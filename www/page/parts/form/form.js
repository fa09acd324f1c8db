// The inputs: the car, what is asked of it, and a card for each rack.

import { most } from "../../core.js";
import { hide } from "../../widgets/dom.js";
import * as fields from "../../widgets/fields.js";
import { html, mark, nothing, render, tone } from "../../widgets/html.js";
import { within } from "../../widgets/note.js";
import { entry, isFull, open, spec } from "../../state/plan.js";
import { act, rackName, state, text } from "../../state/state.js";
import { axisThere } from "../../widgets/tape/car.js";
import { overview, shown } from "../../widgets/tape/panel.js";
import { words } from "../../words.js";

const MORE = [
  ["axis", ["scrub_radius", "axis_spacing_at_rod_end", "kingpin_inclination", "rod_end_height", "caster"]],
  ["body", ["rear_track", "tyre_width", "rear_tyre_width", "corner_ahead", "corner_width", "second_corner_ahead", "second_corner_width"]],
  ["arm", ["arm_length", "arm_angle"]],
  ["right", ["right_arm_fore_aft", "right_arm_inboard"]],
];
const LIMITS = [
  "lock_inner",
  "circle_max",
  "circle_edge_max",
  "wall_to_wall_max",
  "ratio_min",
  "ratio_max",
  "turns_min",
  "turns_max",
  "ackermann_min",
  "ackermann_max",
  "reserve",
  "transmission_angle",
  "toe_max",
];
const UNUSUAL = ["ratio", "turns", "circle", "ackermann", "scrub", "rod", "wheelbase"]
  .flatMap((of) => [`usual_${of}_min`, `usual_${of}_max`])
  .concat("usual_tilt_max", "usual_tolerance");
// The first is asked, unless only the second was answered.
const TURNED = ["travel_two_turns", "travel_per_turn"];
const FITTED = ["rack_line", "offset", "height"];
const RACK_MORE = ["stop_left", "stop_right", "rod_length", "rod_length_min", "rod_length_max", "inner_joint_limit", "outer_joint_limit"];

// Folded parts stay as the person left them when the form is built anew.
const unfolded = new Set();

const part = (id) => document.getElementById(id);

/** Builds all inputs for the open draft: what is there already stays, with focus and caret. */
export function build() {
  fields.drop(open.draft.racks.length);
  render(carForm(), part("car-form"));
  render(
    open.draft.racks.map((_, i) => card(i)),
    part("rack-cards"),
  );
  for (const [i, rack] of open.draft.racks.entries())
    for (const [id, text] of [
      [`name-${i}`, rack.name],
      [`note-${i}`, rack.note],
    ])
      if (part(id).value !== text) part(id).value = text;
  const full = isFull() && open.mode !== "friend";
  part("racks-full").hidden = !full;
  for (const button of document.querySelectorAll("[data-do=add-rack]")) {
    button.hidden = open.mode === "friend";
    button.disabled = full;
  }
  unfold(open.draft.chosen);
}

const noted = (key, { currentTarget }) => (currentTarget.open ? unfolded.add(key) : unfolded.delete(key));

const fold = (key, title, sub, inside) => html`
  <details class="more" data-more=${key} ?open=${unfolded.has(key)} @toggle=${(event) => noted(key, event)}>
    <summary>${title}</summary>
    ${sub ? html`<p class="sub">${sub}</p>` : null}${inside}
  </details>
`;

const known = (prefix, names) => names.filter((name) => spec(`${prefix}.${name}`));
const fieldsOf = (prefix, names) => html`
  <div class="fields">${known(prefix, names).map((name) => fields.field(`${prefix}.${name}`))}</div>
`;

/** Two ways to the same thing: a pair of buttons says which one is asked for. */
function either(prefix, names, now, legend, labels, choose) {
  const id = `which-${prefix}-${names[0]}`;
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

// The one that was measured, where only one was; else the one chosen last; else the first.
function measured(prefix, names, chosen) {
  const filled = names.filter((name) => entry(`${prefix}.${name}`)?.text);
  return chosen ?? (filled.length === 1 ? filled[0] : names[0]);
}

let drawn = null; // the two drawings that the form shows by itself

function carForm() {
  const spacings = ["rod_end_spacing", "axis_spacing_at_ground"];
  const spacing = measured("car", spacings, open.draft.spacing);
  const other = spacings.filter((name) => name !== spacing);
  drawn ??= { whole: overview(), axis: shown(words.tape.axisTitle, [axisThere()], words.tape.axis) };
  const group = ([key, names]) => html`
    <div class="group">
      <h3 class="minor">${words.car.groups[key]}</h3>
      ${fieldsOf("car", key === "axis" ? [...other, ...names] : names)}
    </div>
  `;
  return html`
    <figure class="where">${drawn.whole}</figure>
    <div class="fields">
      ${fields.field("car.wheelbase")}${fields.field("car.front_track")}
      ${either("car", spacings, spacing, words.car.whichever, words.car.spacing, (name) => act.spacing(name))}
      ${fields.field("car.arm_fore_aft")}${fields.field("car.arm_inboard")}
    </div>
    <div class="group room">
      <h3 class="minor">${words.car.room}</h3>
      <p class="sub">${words.car.roomSub}</p>
      ${fieldsOf("car", ["rack_line_from", "rack_line_to"])}
    </div>
    ${fold("axis", words.tape.axisTitle, null, drawn.axis)}
    ${fold("car", words.car.more, words.car.moreSub, MORE.map(group))}
    ${fold("limits", words.car.limits, words.car.limitsSub, fieldsOf("limits", LIMITS))}
    ${fold("unusual", words.car.unusual, words.car.unusualSub, fieldsOf("limits", UNUSUAL))}
  `;
}

function card(i) {
  const prefix = `racks.${i}`;
  const rack = open.draft.racks[i];
  const friend = open.mode === "friend";
  const ways = ["travel", "turns"];
  const way = measured(prefix, ways, rack.travelBy);
  const key = `rack-${i}`;
  const turned = measured(prefix, TURNED, null);
  const more = [...ways.filter((w) => w !== way), ...TURNED.filter((t) => t !== turned), ...RACK_MORE];
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
    <details class="card" data-rack=${i} ?open=${unfolded.has(key)} @toggle=${(event) => noted(key, event)}>
      <summary></summary>
      <div class="fields">
        ${fields.field(`${prefix}.inner_joint_spacing`)}${fields.field(`${prefix}.${turned}`)}
        ${either(prefix, ways, way, words.rack.whichever, words.rack.travel, (name) => act.travelBy(i, name))}
        ${fields.field(`${prefix}.bar_moves`)}
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
          @input=${({ target }) => act.rackText(i, "name", within(target, most.name))}
        />
        <label for=${`note-${i}`}>${words.rack.note}<span class="hint">${words.rack.noteHint}</span></label>
        <textarea
          id=${`note-${i}`}
          data-field=${`${prefix}.note`}
          rows="2"
          dir="auto"
          ?readonly=${friend}
          @input=${({ target }) => act.rackText(i, "note", within(target, most.note))}
        ></textarea>
      </div>
      ${fold(`${key}-fitted`, words.rack.fitted, words.rack.fittedSub, fieldsOf(prefix, FITTED))}
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
    </details>
  `;
}

const cards = () => part("rack-cards").querySelectorAll(".card");

/** Shows the verdicts in the cards' heads, and what the builder means to do with each rack. */
export function paintHeads() {
  for (const [i, card] of [...cards()].entries()) {
    render(head(i), card.querySelector("summary"));
    render(
      Object.keys(words.rack.marks).map((word) => meant(i, word)),
      card.querySelector(".marks .pair"),
    );
    hide(card.querySelector(".choose"), i === open.draft.chosen);
  }
}

function head(i) {
  const verdict = state.shown?.racks[i]?.verdict;
  const word = open.draft.racks[i]?.mark;
  return html`
    <span class="sign" data-kind=${verdict?.kind}>${verdict ? mark(verdict.kind) : null}</span>
    <span class="rack-title">
      <span class="rack-name">${rackName(i)}</span>
      <span class=${verdict ? `rack-words ${tone(verdict.kind)}` : "rack-words"}>${text(verdict?.head)}</span>
    </span>
    <span class="tag marked" ?hidden=${!word}>${words.rack.marks[word] ?? ""}</span>
    <span class="tag" ?hidden=${i !== open.draft.chosen}>${words.rack.chosen}</span>
  `;
}

const meant = (i, word) => html`
  <button
    type="button"
    data-mark=${word}
    data-focus=${`mark-${word}-${i}`}
    aria-pressed=${String(open.draft.racks[i]?.mark === word)}
    ?disabled=${open.mode === "friend"}
    @click=${() => act.mark(i, word)}
  >
    ${words.rack.marks[word]}
  </button>
`;

/** Unfolds a rack's card. */
export function unfold(i) {
  const card = document.querySelector(`details.card[data-rack="${i}"]`);
  if (card) card.open = true;
  return card;
}

/** For a plan that was not open before: nothing of the form is left, nor what was unfolded. */
export function foldAll() {
  unfolded.clear();
  fields.clear();
  for (const id of ["car-form", "rack-cards"]) render(nothing, part(id));
}
