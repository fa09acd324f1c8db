// The plan in the person's own words, its history, and its place on the phone.
//
// A draft holds what each field holds: a text, a unit, a side. The plan format (what is stored, shared and worked out)
// is made from it by the core and read back from it by the core; nothing here understands a measurement.

import { Refused, Stopped, asTyped, check, compose, decodeLink, encodeLink, most, table } from "../core.js";
import { FORMAT } from "./check.js";
import * as past from "./past.js";
import * as store from "./store.js";

const UNITS = "donorack.units";
const EXAMPLE = "example";

/** What is open: `mode` is "own", "example" or "friend"; `raw` the own plan's record as this tab last saw it; `kept` whether that holds
 * everything; `clash` says that another tab has "changed" or "removed" it meanwhile. */
export const open = { mode: "example", id: null, draft: blank(), raw: null, kept: true, clash: "" };

let steps = []; // back, the last one at the end
let group = null;
let accepted = null; // the own plan as the core read it last

/** An empty plan with one empty rack. */
export function blank() {
  return { id: null, name: "", invented: false, car: {}, limits: {}, racks: [rack("")], chosen: 0, spacing: null, newer: null };
}

function rack(name) {
  return { name, note: "", mark: null, entries: {}, travelBy: null, newer: null };
}

// ---- fields ----

const parsed = new Map();

/** Where a path leads: `car.wheelbase`, `racks.0.travel`, `limits.reserve`. */
export function parse(path) {
  if (!parsed.has(path)) {
    const [part, a, b] = path.split(".");
    parsed.set(path, part === "racks" ? { section: "rack", rack: Number(a), name: b } : { section: part, rack: null, name: a });
  }
  return parsed.get(path);
}

/** The row of the table for a path. */
export const spec = (path) => table.get(`${parse(path).section}.${parse(path).name}`);

function shelf(draft, path) {
  const { section, rack } = parse(path);
  // A field may keep the focus while its rack is taken out.
  return rack === null ? draft[section] : (draft.racks[rack]?.entries ?? {});
}

/** What the person put into a field, or nothing. */
export const entry = (path, draft = open.draft) => shelf(draft, path)[parse(path).name] ?? null;

/** The unit a field shows now. */
export function unitOf(path) {
  const { units } = spec(path);
  return entry(path)?.unit || units[units.length > 1 && readUnits() === "inch" ? 1 : 0] || "";
}

/** Puts something into a field; what is wholly empty is taken out. */
export function enter(draft, path, change) {
  const place = shelf(draft, path);
  const name = parse(path).name;
  const next = { text: "", unit: "", side: "", ...place[name], ...change };
  if (next.text === "" && next.unit === "" && next.side === "") delete place[name];
  else place[name] = next;
}

/** Lets go of units that were only shown beside empty fields. */
export function forgetUnits(draft, path = null) {
  for (const p of path ? [path] : paths(draft)) {
    const held = entry(p, draft);
    if (held && held.text === "") enter(draft, p, { unit: "" });
  }
}

function* paths(draft) {
  for (const section of ["car", "limits"]) for (const name of Object.keys(draft[section])) yield `${section}.${name}`;
  for (const [i, rack] of draft.racks.entries()) for (const name of Object.keys(rack.entries)) yield `racks.${i}.${name}`;
}

// ---- the plan format ----

/** The draft in the plan format. */
export function toPlan(draft) {
  const part = (section, entries) => {
    const out = {};
    for (const [name, held] of Object.entries(entries)) {
      if (!held) continue;
      const form = formOf(section, name, held);
      if (form !== "") out[name] = form;
    }
    return out;
  };
  const plan = { donorack: 1, ...(draft.linkFormat ? { link_format: draft.linkFormat } : {}) };
  if (draft.id) plan.id = draft.id;
  if (draft.name) plan.name = draft.name;
  if (draft.invented) plan.invented = true;
  plan.car = { ...part("car", draft.car), ...(draft.carNewer ? { newer: draft.carNewer } : {}) };
  plan.racks = draft.racks.map((rack) => ({
    ...(rack.name ? { name: rack.name } : {}),
    ...(rack.note ? { note: rack.note } : {}),
    ...(rack.mark ? { mark: rack.mark } : {}),
    ...part("rack", rack.entries),
    ...(rack.newer ? { newer: rack.newer } : {}),
  }));
  plan.limits = { ...part("limits", draft.limits), ...(draft.limitsNewer ? { newer: draft.limitsNewer } : {}) };
  if (draft.chosen) plan.chosen = draft.chosen;
  if (draft.newer) plan.newer = draft.newer;
  return plan;
}

/** What a field holds, as the plan format writes it. */
function formOf(section, name, { text, unit, side }) {
  const units = table.get(`${section}.${name}`)?.units ?? [];
  return compose(section, name, text, unit || units[units.length > 1 && readUnits() === "inch" ? 1 : 0] || "", side);
}

const HELD = new Set(["ok", "unclear", "off"]);

/** A plan as a draft; `typed` is what the plan format does not hold: its fields letter by letter, and units and sides chosen before a number. */
export function fromPlan(given, typed = null) {
  // What an earlier version passed on unknown may be known by now.
  const plan = Array.isArray(given.racks) && given.racks.some((rack) => rack?.newer) ? decodeLink(encodeLink(given)) : given;
  const view = asTyped(plan);
  const entries = (fields) =>
    Object.fromEntries(
      Object.entries(fields)
        .filter(([, f]) => HELD.has(f.status))
        .map(([name, f]) => [name, { text: f.text, unit: f.unit, side: f.side ?? "" }]),
    );
  const draft = {
    id: plan.id ?? null,
    linkFormat: plan.link_format ?? null,
    name: plan.name ?? "",
    invented: plan.invented ?? false,
    car: entries(view.car),
    limits: entries(view.limits),
    racks: view.racks.map((seen, i) => ({
      name: seen.name ?? "",
      note: seen.note ?? "",
      mark: plan.racks[i].mark ?? null,
      entries: entries(seen.fields),
      travelBy: null,
      newer: plan.racks[i].newer ?? null,
    })),
    chosen: plan.chosen ?? 0,
    spacing: null,
    newer: plan.newer ?? null,
    carNewer: plan.car?.newer ?? null,
    limitsNewer: plan.limits?.newer ?? null,
  };
  const letters = (part, fields, written = {}) => {
    for (const [name, held] of Object.entries(fields ?? {})) {
      const path = `${part}.${name}`;
      if (
        spec(path) &&
        (held.side === "" || spec(path).sides.includes(held.side)) &&
        formOf(parse(path).section, name, held) === (written[name] ?? "")
      )
        enter(draft, path, held);
    }
  };
  for (const part of ["car", "limits"]) letters(part, typed?.[part], given[part]);
  for (const i of draft.racks.keys()) letters(`racks.${i}`, typed?.racks[i], given.racks[i]);
  return draft;
}

// As it is kept. Entries are never changed in place, only exchanged: so nothing here changes with the draft.
function record() {
  if (open.mode !== "own") return null;
  const { car, limits, racks, spacing } = open.draft;
  const rest = { car: { ...car }, limits: { ...limits }, racks: racks.map((rack) => ({ ...rack.entries })) };
  return { format: FORMAT, id: open.id, plan: toPlan(open.draft), rest, asked: { spacing, travelBy: racks.map((rack) => rack.travelBy) } };
}

// ---- storage ----

/** The own plan that was open last, else the one changed last, as kept. */
export function own() {
  const last = store.record(store.lastOpen());
  return readable(last) ? last : (store.list().find((one) => readable(one.held))?.held ?? null);
}

/**
 * Keeps the own plan; called at every keystroke. Only what the core has read is kept: else its refusal is thrown. What another tab wrote
 * meanwhile is not written over: this tab's goes aside.
 */
export function save() {
  if (open.mode !== "own") return;
  const now = record();
  try {
    check(now.plan);
  } catch (error) {
    // A core that stopped comes back, and then it is kept.
    if (error instanceof Stopped) return;
    throw error;
  }
  accepted = now;
  meet();
  if (open.clash) return void store.aside(now);
  const text = JSON.stringify({ ...now, stamp: fresh(), when: Date.now() });
  open.kept = store.keep(open.id, text);
  if (open.kept) open.raw = text;
  store.noteOpen(open.id);
}

/** Looks whether the record is still the one that this tab saw last. A record that nobody can read is nobody's. */
export function meet() {
  if (open.mode !== "own" || open.clash || open.raw === null) return;
  const now = store.raw(open.id);
  if (now === open.raw || store.state.trouble === "refused") return;
  const held = now === null ? null : store.parse(open.id, now);
  if (now === null || held?.gone !== undefined) open.clash = "removed";
  else if (held) open.clash = "changed";
}

/** Ends a clash: "theirs" shows what the other tab wrote, "mine" keeps this tab's, "both" makes this tab's a plan of its own. What
 * gives way is one step back. */
export function settleClash(way, what, name) {
  // Refused before anything has changed, if it cannot be read.
  if (way === "theirs" && open.clash === "changed") encodeLink(store.record(open.id).plan);
  const [mine, theirs] = [record(), store.record(open.id)];
  const lost = open.clash === "removed";
  open.clash = "";
  store.aside(null);
  group = null;
  if (way === "theirs" && lost) return false;
  if (way === "both") {
    const old = { id: mine.id, name: open.draft.name };
    Object.assign(open, { id: fresh(), raw: null, draft: { ...open.draft, name } });
    open.draft.id = open.id;
    past.writeAll(open.id, steps);
    past.add(open.id, steps, { what, both: old });
  } else {
    if (lost) past.writeAll(open.id, steps);
    else steps = past.read(open.id);
    if (theirs) past.add(open.id, steps, { what, was: way === "mine" ? theirs : mine });
  }
  if (way === "theirs") restore(theirs);
  else open.raw = null;
  save();
  return true;
}

/** Millimetres or inches, as this person reads. */
export const readUnits = () => units;
let units = ["mm", "inch"].find((known) => known === store.read(UNITS)) ?? (navigator.language === "en-US" ? "inch" : "mm");
/** Changes the units of the results, and of fields that are empty. */
export function setUnits(next) {
  // What a person sees beside a number belongs to the number from now on.
  for (const p of paths(open.draft)) if (entry(p).text !== "" && !entry(p).unit) enter(open.draft, p, { unit: unitOf(p) });
  units = next;
  store.write(UNITS, next);
}

// ---- history ----

/** Changes the plan. Changes of one `key` in a row (typing in one field) are one step back; `what` names it. The first change of the
 * example makes a plan of one's own. What the core does not read is taken back, and its refusal thrown. */
export function change(what, key, alter) {
  if (open.mode === "friend") return false;
  const example = open.mode === "example" ? toPlan(open.draft) : null;
  const before = accepted;
  meet();
  const step = !example && (key === null || key !== group);
  if (example) begin(what, { ...open.draft, invented: false }, EXAMPLE);
  else if (step) past.add(open.id, steps, { what, was: record() }, !open.clash);
  group = key;
  // From the first change on the plan is known again by its id.
  open.draft.id = open.id;
  try {
    alter(open.draft);
    save();
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    takeBack(example, step, before);
    throw error;
  }
  return example ? "own" : true;
}

function takeBack(example, step, before) {
  group = null;
  if (example) {
    store.forget(open.id);
    return openOther(EXAMPLE, example);
  }
  if (step) past.take(open.id, steps);
  const { clash, raw, kept } = open;
  restore(before);
  return Object.assign(open, { clash, raw, kept });
}

/** The next change is a step of its own. */
export const settle = () => {
  group = null;
};

// A plan that there was not before; a step back leads to the one that was open then.
function begin(what, draft, back) {
  steps = [];
  group = null;
  Object.assign(open, { mode: "own", id: id(draft.id), draft, raw: null, kept: true, clash: "" });
  past.add(open.id, steps, { what, born: true, back });
}

// A friend's plan keeps its id, so that it is known again; unless this browser has it already.
const id = (given) => (given && !store.raw(given) ? given : fresh());

/** What an undo would take back, or nothing. */
export const undoable = () => (open.mode === "own" ? (steps.at(-1)?.what ?? null) : null);

/** Takes the last change back and says what it was, and whether that leads to the example. */
export function undo() {
  meet();
  const last = open.mode === "own" ? past.take(open.id, steps) : null;
  if (!last) return null;
  group = null;
  if (last.born) {
    store.forget(open.id);
    return { what: last.what, example: last.back === EXAMPLE || !openOwn(last.back) };
  }
  if (last.both) apart(last.both);
  else {
    const { clash, raw, id } = open;
    // A step that cannot be read any more is passed over.
    if (!restored(last.was)) return undo();
    Object.assign(open, { clash, raw, id });
    open.draft.id = id;
    save();
  }
  return { what: last.what, example: false };
}

// Two versions of one plan again, and the choice between them is open again: nothing of what was typed here goes.
function apart({ id, name }) {
  store.forget(open.id);
  const raw = store.raw(id);
  Object.assign(open, { id, raw, clash: store.record(id) ? "changed" : "removed", draft: { ...open.draft, id, name } });
  store.noteOpen(id);
  save();
}

function restore(held) {
  const { id, plan, rest, asked } = held;
  const draft = fromPlan(plan, rest);
  draft.id = id;
  draft.spacing = asked.spacing;
  for (const [i, rack] of draft.racks.entries()) rack.travelBy = asked.travelBy[i] ?? null;
  Object.assign(open, { mode: "own", id, draft, raw: store.raw(id), kept: true, clash: "" });
  accepted = record();
}

// The same, unless the core refuses it.
function restored(held) {
  try {
    restore(held);
    return true;
  } catch (error) {
    if (error instanceof Stopped) throw error;
    // A mistake of this page's is told as such, and costs no more than this plan.
    if (!(error instanceof Refused)) reportError(error);
    return false;
  }
}

/** Opens an own plan, the last one unless another is asked for; one that cannot be read is passed over, unless a step back can. */
export function openOwn(id = null) {
  const alone = store.aside();
  if (alone && alone.id === id && !store.record(id) && restored(alone)) {
    open.clash = "removed";
    steps = [];
    return true;
  }
  const wanted = [...new Set([id ?? store.lastOpen(), ...store.list().map((one) => one.id)])].filter(Boolean);
  for (const [n, next] of wanted.entries()) {
    const held = store.record(next);
    if (held && restored(held)) {
      steps = past.read(next);
      group = null;
      store.noteOpen(next);
      unfinished();
      return true;
    }
    if (n === 0 && openEarlier(next)) return true;
  }
  return false;
}

/** Opens a plan whose record cannot be read as it stood a step back. The record stays beside it, as long as there is room. */
export function openEarlier(id) {
  const text = store.raw(id);
  if (text === null || readable(store.record(id)) || store.parse(id, text)?.gone !== undefined) return false;
  const left = past.read(id);
  for (let last = past.take(id, left); last; last = past.take(id, left)) {
    if (!last.was || !restored({ ...last.was, id })) continue;
    steps = left;
    group = null;
    store.write(store.keyOf(fresh()), text);
    open.raw = null;
    open.earlier = last.what;
    save();
    return true;
  }
  return false;
}

// What was typed in this tab after another had changed the plan is still there after a reload, and so is the choice.
function unfinished() {
  const held = store.aside();
  if (held?.id !== open.id) return;
  const { raw } = open;
  if (restored(held)) Object.assign(open, { raw, clash: "changed" });
}

const answered = new Map();

/** Can a record be read by the core? */
export function readable(held) {
  if (!held) return false;
  const text = JSON.stringify(held.plan);
  const before = answered.get(held.id);
  if (before?.text === text) return before.ok;
  try {
    answered.set(held.id, { text, ok: encodeLink(held.plan) !== "" });
  } catch (error) {
    if (!(error instanceof Refused)) return true;
    answered.set(held.id, { text, ok: false });
  }
  return answered.get(held.id).ok;
}

/** Opens a plan to look at: the example or a friend's. */
export function openOther(mode, plan) {
  steps = [];
  group = null;
  Object.assign(open, { mode, id: null, draft: fromPlan(plan), raw: null, kept: true, clash: "" });
}

/** Makes `draft` a plan of one's own beside the others; undoing that leads back. */
export function takeOver(what, draft) {
  const back = open.mode === "own" ? open.id : (own()?.id ?? EXAMPLE);
  begin(what, draft, back);
  if (draft.id) draft.id = open.id;
  save();
}

/** Puts a copy of a kept plan beside it, named anew; its id, or nothing where there is no room for it. */
export function copyPlan(what, held, name) {
  const id = fresh();
  const plan = { ...held.plan, id, name };
  check(plan);
  if (!store.keep(id, JSON.stringify({ ...held, id, plan, stamp: fresh(), when: Date.now() }))) return null;
  past.addTo(id, { what, born: true, back: held.id });
  return id;
}

/** Names a kept plan that is not open, `first` at the first of several keystrokes; tells whether there was room. */
export function renamePlan(what, held, name, first) {
  const plan = { ...held.plan, name };
  check(plan);
  if (first) past.addTo(held.id, { what, was: held });
  return store.keep(held.id, JSON.stringify({ ...held, plan, stamp: fresh(), when: Date.now() }));
}

// Forty-eight random bits, as the plan format writes them.
function fresh() {
  return Array.from(crypto.getRandomValues(new Uint8Array(6)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// ---- the address ----

/** The open plan's link, without `#`. */
export const link = () => encodeLink(toPlan(open.draft));

/** What follows the `#` at a part of the page: the part and the plan, or the part alone where that is the plan one has anyhow, and the
 * link longer than `longest`. One link serves for all parts. */
export function fragments() {
  const plan = open.mode === "example" ? "" : link();
  return (part, longest = most.link) => (plan && (plan.length <= longest || open.mode === "friend") ? `${part}/${plan}` : part);
}

/** Lets the address follow the plan and the part of the page that is in front: `ahead` is what follows the `#`. Called when a field is left
 * or a button pressed, never at a keystroke. A reload finds there whether the record of an own plan holds as much. */
export function follow(ahead) {
  try {
    if (open.mode === "own") {
      const stamp = open.raw === null ? null : store.parse(open.id, open.raw)?.stamp;
      history.replaceState({ plan: open.id, kept: open.kept, stamp }, "", `#${ahead}`);
    } else history.replaceState(null, "", `#${ahead}`);
  } catch (error) {
    // A browser that was asked too often does it the next time.
    if (error.name !== "SecurityError") throw error;
  }
}

/**
 * After a start without room for the last changes the address holds more than the record. `later` is that plan: it becomes the open one,
 * with what was kept a step back; unless another tab has written since then. Returns the plan to lay beside, its link, and what it is.
 */
export function recover(later, stamp, what) {
  const kept = toPlan(open.draft);
  if ((store.record(open.id)?.stamp ?? null) !== (stamp ?? null)) return { plan: later, link: encodeLink(later), kind: "address" };
  const { spacing } = open.draft;
  change(what, null, () => Object.assign(open.draft, fromPlan(later), { id: open.id, spacing }));
  return { plan: kept, link: encodeLink(kept), kind: "kept" };
}

/** Reads a fragment; throws a sentence. */
export const readLink = (fragment) => decodeLink(fragment);

// ---- racks ----

/** Whether a plan holds as many racks as one may. */
export const isFull = (draft = open.draft) => draft.racks.length >= most.racks;

const none = (draft) => !draft.racks[draft.chosen];

/** Adds a rack. It is shown only where none was. */
export function addRack(draft) {
  const empty = none(draft);
  draft.racks.push(rack(""));
  if (empty) draft.chosen = draft.racks.length - 1;
}

/** Puts a copy of a rack behind it, without its mark; the rack that was shown still is. */
export function copyRack(draft, i, name) {
  const empty = none(draft);
  draft.racks.splice(i + 1, 0, { ...structuredClone(draft.racks[i]), name, mark: null });
  if (empty) draft.chosen = i + 1;
  else if (draft.chosen > i) draft.chosen += 1;
}

/**
 * Alters which racks there are, or their order, without altering how one is fitted: what would no longer be carried over is written down.
 * From the nearest rack before it a value is carried, else from behind: so what is written down here serves those behind it too.
 */
export function reshape(draft, alter) {
  const before = new Map(asTyped(toPlan(draft)).racks.map((seen, i) => [draft.racks[i], seen.fields]));
  alter(draft);
  const like = (a, b) => a?.text === b.text && a.unit === b.unit && a.side === b.side;
  // The second time is for what the rule above did not foresee; as a rule there is nothing left.
  for (let left = true, tries = 0; left && tries < 4; tries++) {
    const now = asTyped(toPlan(draft)).racks;
    const written = {};
    left = false;
    for (const [i, rack] of draft.racks.entries()) {
      for (const [name, was] of Object.entries(before.get(rack) ?? {})) {
        if (was.status !== "carried") {
          delete written[name];
          continue;
        }
        if (rack.entries[name] || like(written[name] ?? now[i].fields[name], was)) continue;
        written[name] = { text: was.text, unit: was.unit, side: was.side };
        enter(draft, `racks.${i}.${name}`, written[name]);
        left = true;
      }
    }
  }
}

/** Takes a rack out; the choice stays with the rack that had it, if it is still there. */
export function removeRack(draft, i) {
  draft.racks.splice(i, 1);
  if (draft.chosen > i || draft.chosen >= draft.racks.length) draft.chosen = Math.max(0, draft.chosen - 1);
}

/** Moves a rack by one place. */
export function moveRack(draft, i, by) {
  const j = i + by;
  if (j < 0 || j >= draft.racks.length) return false;
  [draft.racks[i], draft.racks[j]] = [draft.racks[j], draft.racks[i]];
  if (draft.chosen === i) draft.chosen = j;
  else if (draft.chosen === j) draft.chosen = i;
  return true;
}
