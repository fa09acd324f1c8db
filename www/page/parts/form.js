// The inputs: the car, what is asked of it, and a card for each rack.

import { most } from "../core.js";
import { h, hide, mark, put, say, tone } from "../widgets/dom.js";
import { clear, field } from "../widgets/fields.js";
import { within } from "../widgets/note.js";
import { entry, isFull, open, spec } from "../plan.js";
import { axisThere } from "../widgets/tape/car.js";
import { overview, shown } from "../widgets/tape/panel.js";
import { words } from "../words.js";

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
let heads = [];

/** Builds all inputs for the open draft. */
export function build(actions) {
  clear();
  heads = [];
  carForm(document.getElementById("car-form"), actions);
  document.getElementById("rack-cards").replaceChildren(...open.draft.racks.map((_, i) => card(i, actions)));
  for (const button of document.querySelectorAll("[data-do=add-rack]")) button.hidden = open.mode === "friend";
  paintMarks();
}

function fold(key, title, sub, ...inside) {
  const details = h(
    "details",
    { class: "more", "data-more": key, open: unfolded.has(key) },
    h("summary", {}, title),
    sub ? h("p", { class: "sub" }, sub) : null,
    inside,
  );
  details.addEventListener("toggle", () => (details.open ? unfolded.add(key) : unfolded.delete(key)));
  return details;
}

const known = (prefix, names) => names.filter((name) => spec(`${prefix}.${name}`));
const fieldsOf = (prefix, names) =>
  h(
    "div",
    { class: "fields" },
    known(prefix, names).map((name) => field(`${prefix}.${name}`)),
  );

/** Two ways to the same thing: a pair of buttons says which one is asked for. */
function either(prefix, names, now, legend, labels, choose) {
  return h(
    "div",
    { class: "either" },
    h(
      "div",
      { class: "which" },
      h("span", { id: `which-${prefix}-${names[0]}` }, legend),
      h(
        "div",
        { class: "pair", role: "group", "aria-labelledby": `which-${prefix}-${names[0]}` },
        names.map((name) =>
          h(
            "button",
            {
              type: "button",
              "data-which": `${prefix}.${name}`,
              "data-focus": `which-${prefix}.${name}`,
              "aria-pressed": String(name === now),
              onclick: () => choose(name),
            },
            labels[name],
          ),
        ),
      ),
    ),
    field(`${prefix}.${now}`),
  );
}

// The one that was measured, where only one was; else the one chosen last; else the first.
function measured(prefix, names, chosen) {
  const filled = names.filter((name) => entry(`${prefix}.${name}`)?.text);
  return chosen ?? (filled.length === 1 ? filled[0] : names[0]);
}

function carForm(place, actions) {
  const spacings = ["rod_end_spacing", "axis_spacing_at_ground"];
  const spacing = measured("car", spacings, open.draft.spacing);
  const other = spacings.filter((name) => name !== spacing);
  place.replaceChildren(
    h("figure", { class: "where" }, overview()),
    h(
      "div",
      { class: "fields" },
      field("car.wheelbase"),
      field("car.front_track"),
      either("car", spacings, spacing, words.car.whichever, words.car.spacing, (name) => actions.spacing(name)),
      field("car.arm_fore_aft"),
      field("car.arm_inboard"),
    ),
    h(
      "div",
      { class: "group room" },
      h("h3", { class: "minor" }, words.car.room),
      h("p", { class: "sub" }, words.car.roomSub),
      fieldsOf("car", ["rack_line_from", "rack_line_to"]),
    ),
    fold("axis", words.tape.axisTitle, null, shown(words.tape.axisTitle, [axisThere()], words.tape.axis)),
    fold(
      "car",
      words.car.more,
      words.car.moreSub,
      MORE.map(([key, names]) =>
        h(
          "div",
          { class: "group" },
          h("h3", { class: "minor" }, words.car.groups[key]),
          fieldsOf("car", key === "axis" ? [...other, ...names] : names),
        ),
      ),
    ),
    fold("limits", words.car.limits, words.car.limitsSub, fieldsOf("limits", LIMITS)),
    fold("unusual", words.car.unusual, words.car.unusualSub, fieldsOf("limits", UNUSUAL)),
  );
}

/** The name of a rack, or its place in the row. */
export const rackName = (i) => open.draft.racks[i]?.name || words.plan.rack(i + 1);

function card(i, actions) {
  const prefix = `racks.${i}`;
  const rack = open.draft.racks[i];
  const many = open.draft.racks.length;
  const friend = open.mode === "friend";
  const ways = ["travel", "turns"];
  const way = measured(prefix, ways, rack.travelBy);
  const key = `rack-${i}`;
  const turned = measured(prefix, TURNED, null);
  const head = {
    sign: h("span", { class: "sign" }),
    name: h("span", { class: "rack-name" }, rackName(i)),
    words: h("span", { class: "rack-words" }),
    mark: h("span", { class: "tag marked" }),
    chosen: h("span", { class: "tag" }, words.rack.chosen),
  };
  const button = (what, text, off = false) =>
    h(
      "button",
      {
        type: "button",
        class: "quiet",
        "data-do": what,
        "data-rack": String(i),
        "data-focus": `${what}-${i}`,
        disabled: off || friend,
        "aria-label": `${text}: ${rackName(i)}`,
        "aria-describedby": what === "copy-rack" ? "racks-full" : null,
      },
      text,
    );
  const name = h("input", {
    id: `name-${i}`,
    "data-field": `${prefix}.name`,
    type: "text",
    dir: "auto",
    enterkeyhint: "next",
    autocomplete: "off",
    readonly: friend,
    oninput: (e) => actions.rackText(i, "name", within(e.target, most.name)),
  });
  name.value = rack.name;
  name.placeholder = words.plan.rack(i + 1);
  const note = h("textarea", {
    id: `note-${i}`,
    "data-field": `${prefix}.note`,
    rows: "2",
    dir: "auto",
    readonly: friend,
    oninput: (e) => actions.rackText(i, "note", within(e.target, most.note)),
  });
  note.value = rack.note;
  const choose = h(
    "button",
    {
      type: "button",
      class: "quiet choose",
      "data-do": "choose",
      "data-rack": String(i),
      "data-focus": `choose-${i}`,
      "aria-label": `${words.rack.choose}: ${rackName(i)}`,
    },
    words.rack.choose,
  );
  const marks = Object.entries(words.rack.marks).map(([word, label]) =>
    h(
      "button",
      {
        type: "button",
        "data-mark": word,
        "data-focus": `mark-${word}-${i}`,
        "aria-pressed": "false",
        disabled: friend,
        onclick: () => actions.mark(i, word),
      },
      label,
    ),
  );
  const details = h(
    "details",
    { class: "card", "data-rack": String(i), open: unfolded.has(key) || i === open.draft.chosen },
    h("summary", {}, head.sign, h("span", { class: "rack-title" }, head.name, head.words), head.mark, head.chosen),
    h(
      "div",
      { class: "fields" },
      field(`${prefix}.inner_joint_spacing`),
      field(`${prefix}.${turned}`),
      either(prefix, ways, way, words.rack.whichever, words.rack.travel, (name) => actions.travelBy(i, name)),
      field(`${prefix}.bar_moves`),
    ),
    h(
      "div",
      { class: "which marks" },
      h("span", { id: `marks-${i}` }, words.rack.mark),
      h("div", { class: "pair", role: "group", "aria-labelledby": `marks-${i}` }, marks),
    ),
    h(
      "div",
      { class: "texts" },
      h("label", { for: `name-${i}` }, words.rack.name),
      name,
      h("label", { for: `note-${i}` }, words.rack.note, h("span", { class: "hint" }, words.rack.noteHint)),
      note,
    ),
    fold(`${key}-fitted`, words.rack.fitted, words.rack.fittedSub, fieldsOf(prefix, FITTED)),
    fold(
      `${key}-more`,
      words.rack.more,
      null,
      fieldsOf(prefix, [...ways.filter((w) => w !== way), ...TURNED.filter((t) => t !== turned), ...RACK_MORE]),
    ),
    h(
      "div",
      { class: "buttons" },
      choose,
      button("copy-rack", words.do.copy, isFull()),
      button("up-rack", words.do.up, i === 0),
      button("down-rack", words.do.down, i === many - 1),
      button("remove-rack", words.do.remove),
    ),
  );
  details.addEventListener("toggle", () => (details.open ? unfolded.add(key) : unfolded.delete(key)));
  heads.push({ ...head, choose, marks });
  return details;
}

/** Shows the verdicts in the cards' heads. */
export function paintHeads(view, text) {
  for (const [i, head] of heads.entries()) {
    const verdict = view.racks[i]?.verdict;
    say(head.name, rackName(i));
    if (verdict) {
      if (head.sign.dataset.kind !== verdict.kind) head.sign.replaceChildren(mark(verdict.kind));
      head.sign.dataset.kind = verdict.kind;
      put(head.words, "class", `rack-words ${tone(verdict.kind)}`);
      say(head.words, text(verdict.head));
    }
    hide(head.chosen, i !== open.draft.chosen);
    hide(head.choose, i === open.draft.chosen);
  }
}

/** Shows what the builder means to do with each rack. */
export function paintMarks() {
  for (const [i, head] of heads.entries()) {
    const { mark: word } = open.draft.racks[i];
    for (const button of head.marks) put(button, "aria-pressed", String(button.dataset.mark === word));
    say(head.mark, words.rack.marks[word] ?? "");
    hide(head.mark, !word);
  }
}

/** Unfolds a rack's card. */
export function unfold(i) {
  const card = document.querySelector(`details.card[data-rack="${i}"]`);
  if (card) card.open = true;
  return card;
}

/** Forgets what was unfolded: for a plan that was not open before. */
export const foldAll = () => unfolded.clear();
