// What the page shows, in one object, and what a person can do to it.
//
// One direction: an event calls an action, the action changes the state or the open plan, everything is evaluated from that, and subscribers
// show it.

import { Refused, evaluate, evaluateFirst } from "../core.js";
import { fieldOf, parse, spec } from "./draft.js";
import { toPlan } from "./format.js";
import { entry, open } from "./plan.js";
import { readUnits } from "./units.js";
import { words } from "../words.js";

/** @import { FieldView, Text } from "../../types/core" */
/** @import { Actions, Answer, Draft, DraftRack, Entry, Plan, State } from "../../types/page" */

/** @type {State} */
export const state = {
  ready: false,
  resumed: true,
  example: null,
  view: null,
  shown: null,
  shownPlan: null,
  stale: false,
  trouble: "",
  recovered: "",
  broken: 0,
  linkProblem: "",
  earlier: "",
  sortedBy: null,
  announced: "",
};

/** What a person can do, by name: `actions.js` fills it at the start, whatever listens calls it. */
export const act = /** @type {Actions} */ ({});

/** @type {((typing: boolean) => void)[]} */
const subscribers = [];

/**
 * Calls `show` after every change, with whether somebody is typing.
 * @type {(show: (typing: boolean) => void) => void}
 */
export const subscribe = (show) => subscribers.push(show);

/**
 * Calls every subscriber.
 * @type {(typing?: boolean) => void}
 */
export const notify = (typing = false) => subscribers.forEach((show) => show(typing));

/**
 * A text of the core in this person's units.
 * @type {(both: Text | null | undefined) => string}
 */
export const text = (both) => (both ? both[readUnits()] : "");

/**
 * The name of a rack, or its number.
 * @type {(i: number) => string}
 */
export const rackName = (i) => open.draft.racks[i]?.name || words.plan.rack(i + 1);

/**
 * The name of a plan; without one a description of its car, as typed.
 * @type {(plan: Partial<Plan>) => string}
 */
export function planName({ name, car = {}, racks = [] }) {
  if (name) return name;
  /** @type {(held: unknown) => string} */
  const typed = (held) => (typeof held === "number" ? `${held} mm` : String(held));
  const parts = [
    car.wheelbase && words.plan.wheelbase(typed(car.wheelbase)),
    car.front_track && words.plan.track(typed(car.front_track)),
  ].flatMap((part) => (typeof part === "string" && part ? [part] : []));
  return parts.length ? words.plan.byCar([...parts, words.plan.racks(racks.length)]) : words.plan.unnamed;
}

/**
 * Whether a rack is empty: no field, no name, no note.
 * @type {(rack: DraftRack) => boolean}
 */
export const blankRack = (rack) => !Object.keys(rack.entries).length && !rack.name && !rack.note;

/**
 * A field in the core's view of the plan.
 * @type {(path: string, view?: Answer | null) => FieldView | undefined}
 */
export const fieldView = (path, view = state.view) => {
  const { section, rack, name } = parse(path);
  return section === "rack" ? view?.racks[rack]?.fields[name] : view?.[section]?.[name];
};

/**
 * Runs something that asks the core; a refusal, or that the core stopped, becomes `state.trouble`.
 * @type {(ask: () => void) => void}
 */
export function askCore(ask) {
  try {
    ask();
  } catch (error) {
    state.trouble = error instanceof Refused ? words.bar.cannot(error.message) : words.bar.stopped;
  }
}

// The focused field's entry before anybody typed into it, if it could be read.
/** @type {{ path: string | null, entry: Entry | null }} */
const lastGood = { path: null, entry: null };

/**
 * A field got the focus: its entry is remembered, if it can be read.
 * @type {(path: string) => void}
 */
export function fieldEntered(path) {
  if (lastGood.path === path) return;
  const held = entry(path);
  Object.assign(lastGood, { path, entry: held && fieldView(path)?.status === "ok" ? { ...held } : null });
}

/** A field was left. */
export const fieldLeft = () => {
  lastGood.path = null;
};

/**
 * Evaluates the draft into the state; `path` is that of the focused field, if there is one. May throw.
 * @type {(typing: boolean, path: string | null) => void}
 */
export function evaluateDraft(typing, path) {
  const json = toPlan(open.draft);
  /** @type {(one: Plan) => Answer} */
  const work = (one) => (typing ? evaluateFirst(one, state.view) : evaluate(one));
  state.view = work(json);
  Object.assign(state, { trouble: "", shown: state.view, shownPlan: json });
  let old = false;
  if (path && spec(path)) {
    const now = entry(path);
    const half = fieldView(path)?.status === "unclear" || (!now?.text && !fieldOf(path).choice);
    if (half && lastGood.path === path && lastGood.entry?.text) {
      state.shownPlan = toPlan(withEntry(path, lastGood.entry));
      state.shown = work(state.shownPlan);
      old = true;
    }
  }
  state.stale = old;
}

/** @type {(path: string, entry: Entry) => Draft} */
function withEntry(path, entry) {
  const { section, rack, name } = parse(path);
  if (section !== "rack") return { ...open.draft, [section]: { ...open.draft[section], [name]: entry } };
  return { ...open.draft, racks: open.draft.racks.map((r, i) => (i === rack ? { ...r, entries: { ...r.entries, [name]: entry } } : r)) };
}
