// What the page shows, in one object, and what a person can do to it.
//
// One direction: an event becomes an action, the action changes what stands here or the plan that is open, everything is worked out from
// that, and who has subscribed shows it.

import { Refused, evaluate, evaluateFirst } from "../core.js";
import * as plan from "./plan.js";
import { open } from "./plan.js";
import { words } from "../words.js";

export const state = {
  ready: false, // whether the page has started
  stayed: true, // whether the plan that opens was open before: then it is shown where it was left, not from its top
  example: null, // the plan of the example
  view: null, // what follows from the plan as it stands
  shown: null, // what the figures show: the same, or the one from before somebody typed, while a field is half typed
  shownPlan: null, // from what that was worked out
  old: false, // whether it is the last good one
  trouble: "", // why nothing could be worked out
  relief: "", // that a stopped core was replaced, until something else is done
  broken: 0, // how many plans kept here cannot be read
  damaged: "", // why the link in the address cannot be read; the address stays as it is as long as this says something
  earlier: "", // that a plan stands as it was a step back, for its record could not be read
  sorted: null, // the question by which the racks stand side by side, the best first
  spoken: "", // the verdict that was announced last
};

/** What a person can do, by name: `actions.js` fills it at the start, whatever listens calls it. */
export const act = {};

const subscribers = [];

/** Has `show` called after every change; its argument: whether somebody is typing. */
export const subscribe = (show) => subscribers.push(show);

/** Tells everybody that something has changed. */
export const changed = (typing = false) => subscribers.forEach((show) => show(typing));

/** A text of the core in this person's units. */
export const text = (both) => (both ? both[plan.readUnits()] : "");

/** The name of a rack, or its place in the row. */
export const rackName = (i) => open.draft.racks[i]?.name || words.plan.rack(i + 1);

/** What a plan is called; one without a name by its car, as typed. */
export function nameOf({ name, car = {}, racks = [] }) {
  if (name) return name;
  const typed = (held) => (typeof held === "number" ? `${held} mm` : held);
  const parts = [
    car.wheelbase && words.plan.wheelbase(typed(car.wheelbase)),
    car.front_track && words.plan.track(typed(car.front_track)),
  ].filter(Boolean);
  return parts.length ? words.plan.byCar([...parts, words.plan.racks(racks.length)]) : words.plan.unnamed;
}

/** Whether nothing is known of a rack. */
export const blankRack = (rack) => !Object.keys(rack.entries).length && !rack.name && !rack.note;

/** What the core makes of a field. */
export const seen = (path, view = state.view) => {
  const { section, rack, name } = plan.parse(path);
  return section === "rack" ? view?.racks[rack]?.fields[name] : view?.[section]?.[name];
};

/** Asks the core; what it refuses, or that it stopped, is the trouble that is told. */
export function attempt(ask) {
  try {
    ask();
  } catch (error) {
    state.trouble = error instanceof Refused ? words.bar.cannot(error.message) : words.bar.stopped;
  }
}

// The entry of the focused field as it stood before anybody typed into it, where it made sense.
const good = { path: null, entry: null };

/** A field gets the focus: what stands there now makes sense, or nothing has yet. */
export function entered(path) {
  if (good.path === path) return;
  const held = plan.entry(path);
  Object.assign(good, { path, entry: held && seen(path)?.status === "ok" ? { ...held } : null });
}

/** A field was left. */
export const left = () => {
  good.path = null;
};

/** Works everything out of the plan as it stands; `path` is that of the field that holds the focus, if one does. May throw. */
export function workOut(typing, path) {
  const json = plan.toPlan(open.draft);
  const work = (one) => (typing ? evaluateFirst(one, state.view) : evaluate(one));
  state.view = work(json);
  Object.assign(state, { trouble: "", shown: state.view, shownPlan: json });
  let old = false;
  if (path && plan.spec(path)) {
    const now = plan.entry(path);
    const half = seen(path)?.status === "unclear" || (!now?.text && !plan.spec(path).choice);
    if (half && good.path === path && good.entry?.text) {
      state.shownPlan = plan.toPlan(withEntry(path, good.entry));
      state.shown = work(state.shownPlan);
      old = true;
    }
  }
  state.old = old;
}

function withEntry(path, entry) {
  const { section, rack, name } = plan.parse(path);
  if (section !== "rack") return { ...open.draft, [section]: { ...open.draft[section], [name]: entry } };
  return { ...open.draft, racks: open.draft.racks.map((r, i) => (i === rack ? { ...r, entries: { ...r.entries, [name]: entry } } : r)) };
}
