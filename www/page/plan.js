// The plan in the person's own words, its history, and its place on the phone.
//
// A draft holds what each field holds: a text, a unit, a side. The plan format (what is stored, shared and worked out)
// is made from it by the core and read back from it by the core; nothing here understands a measurement.

import { Refused, compose, decodeLink, encodeLink, evaluate, table } from "./core.js";
import * as store from "./store.js";

const UNITS = "donorack.units";
const STEPS = 100;
const EXAMPLE = "example";

/** What is open: `mode` is "own", "example" or "friend"; `raw` the own plan's record as this tab last saw it; `clash` says that another
 * tab has "changed" or "removed" it meanwhile. */
export const open = { mode: "example", id: null, draft: blank(), raw: null, clash: "" };

let past = [];
let group = null;

/** An empty plan with one empty rack. */
export function blank() {
  return { id: null, name: "", invented: false, car: {}, limits: {}, racks: [rack("")], chosen: 0, spacing: null, newer: null };
}

function rack(name) {
  return { name, note: "", entries: {}, travelBy: null, newer: null };
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

/** The draft in the plan format; `but` exchanges one field's entry. */
export function toPlan(draft, but = null) {
  const part = (section, entries, prefix) => {
    const out = {};
    for (const name of Object.keys(entries)) {
      const path = `${prefix}.${name}`;
      const held = but && but.path === path ? but.entry : entries[name];
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
  plan.car = { ...part("car", draft.car, "car"), ...(draft.carNewer ? { newer: draft.carNewer } : {}) };
  plan.racks = draft.racks.map((rack, i) => ({
    ...(rack.name ? { name: rack.name } : {}), ...(rack.note ? { note: rack.note } : {}), ...part("rack", rack.entries, `racks.${i}`), ...(rack.newer ? { newer: rack.newer } : {}),
  }));
  plan.limits = { ...part("limits", draft.limits, "limits"), ...(draft.limitsNewer ? { newer: draft.limitsNewer } : {}) };
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
export function fromPlan(plan, typed = {}) {
  const view = evaluate(plan);
  const entries = (fields) =>
    Object.fromEntries(Object.entries(fields).filter(([, f]) => HELD.has(f.status)).map(([name, f]) => [name, { text: f.text, unit: f.unit, side: f.side ?? "" }]));
  const draft = {
    id: plan.id ?? null, linkFormat: plan.link_format ?? null, name: plan.name ?? "", invented: plan.invented ?? false, car: entries(view.car), limits: entries(view.limits),
    racks: view.racks.map((seen, i) => ({ name: seen.name ?? "", note: seen.note ?? "", entries: entries(seen.fields), travelBy: null, newer: plan.racks?.[i]?.newer ?? null })),
    chosen: plan.chosen ?? 0, spacing: null, newer: plan.newer ?? null, carNewer: plan.car?.newer ?? null, limitsNewer: plan.limits?.newer ?? null,
  };
  for (const [path, held] of Object.entries(typed)) {
    const { section, rack, name } = parse(path);
    if (!spec(path) || (rack ?? 0) >= draft.racks.length) continue;
    const written = (rack === null ? plan[section] : plan.racks[rack])?.[name] ?? "";
    if (formOf(section, name, held) === written) enter(draft, path, held);
  }
  return draft;
}

function record() {
  if (open.mode !== "own") return null;
  const rest = Object.fromEntries([...paths(open.draft)].map((path) => [path, entry(path)]));
  return { id: open.id, plan: toPlan(open.draft), rest, asked: { spacing: open.draft.spacing, travelBy: open.draft.racks.map((r) => r.travelBy) } };
}

// ---- storage ----

/** The own plan that was open last, else the one changed last, as kept. */
export function own() {
  const last = store.record(store.lastOpen());
  return readable(last) ? last : (store.list().find((one) => readable(one.held))?.held ?? null);
}

/** Keeps the own plan; called at every keystroke. What another tab wrote meanwhile is not written over: this tab's goes aside. */
export function save() {
  if (open.mode !== "own") return;
  const now = record();
  meet();
  if (open.clash) return void store.aside(now);
  const text = JSON.stringify({ ...now, stamp: fresh(), when: Date.now() });
  if (store.keep(open.id, text)) open.raw = text;
  store.noteOpen(open.id);
}

/** Looks whether the record is still the one that this tab saw last. A record that nobody can read is nobody's. */
export function meet() {
  if (open.mode !== "own" || open.clash || open.raw === null) return;
  const now = store.raw(open.id);
  if (now === open.raw || store.state.trouble === "refused") return;
  if (now === null) open.clash = "removed";
  else if (store.parse(now)) open.clash = "changed";
}

/** Ends a clash: "theirs" shows what the other tab wrote, "mine" keeps this tab's, "both" makes this tab's a plan of its own. What
 * gives way is one step back. */
export function settleClash(way, what, name) {
  const [mine, theirs] = [record(), store.record(open.id)];
  const lost = open.clash === "removed";
  open.clash = "";
  store.aside(null);
  group = null;
  if (way === "theirs" && lost) return false;
  past = lost ? past : store.past(open.id);
  if (way === "both") {
    Object.assign(open, { id: fresh(), raw: null, draft: { ...open.draft, name } });
    open.draft.id = open.id;
    past = [{ what, born: true, back: mine.id }];
  } else if (theirs) past = [...past, { what, was: way === "mine" ? theirs : mine }].slice(-STEPS);
  if (way === "theirs") restore(theirs);
  else open.raw = null;
  save();
  store.keepPast(open.id, past);
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
 * example makes a plan of one's own. */
export function change(what, key, alter) {
  if (open.mode === "friend") return false;
  const turned = open.mode === "example";
  if (turned) begin(what, { ...open.draft, invented: false }, EXAMPLE);
  else if (key === null || key !== group) remember(what);
  group = key;
  // From the first change on the plan is known again by its id.
  open.draft.id = open.id;
  alter(open.draft);
  save();
  return turned ? "own" : true;
}

/** The next change is a step of its own. */
export const settle = () => {
  group = null;
};

function remember(what) {
  past = [...past, { what, was: record() }].slice(-STEPS);
  if (!open.clash) store.keepPast(open.id, past);
}

// A plan that there was not before; a step back leads to the one that was open then.
function begin(what, draft, back) {
  past = [{ what, born: true, back }];
  group = null;
  Object.assign(open, { mode: "own", id: id(draft.id), draft, raw: null, clash: "" });
  store.keepPast(open.id, past);
}

// A friend's plan keeps its id, so that it is known again; unless this browser has it already.
const id = (given) => (given && !store.raw(given) ? given : fresh());

/** What an undo would take back, or nothing. */
export const undoable = () => (open.mode === "own" ? (past.at(-1)?.what ?? null) : null);

/** Takes the last change back and says what it was, and whether that leads to the example. */
export function undo() {
  const last = open.mode === "own" ? past.at(-1) : null;
  if (!last) return null;
  past = past.slice(0, -1);
  group = null;
  if (last.born) {
    store.forget(open.id);
    return { what: last.what, example: last.back === EXAMPLE || !openOwn(last.back) };
  }
  const { clash, raw, id } = open;
  restore(last.was);
  Object.assign(open, { clash, raw, id });
  save();
  if (!open.clash) store.keepPast(open.id, past);
  return { what: last.what, example: false };
}

function restore({ id, plan, rest, asked }) {
  const draft = fromPlan(plan, rest);
  draft.spacing = asked?.spacing ?? null;
  for (const [i, rack] of draft.racks.entries()) rack.travelBy = asked?.travelBy?.[i] ?? null;
  Object.assign(open, { mode: "own", id, draft, raw: store.raw(id), clash: "" });
}

/** Opens an own plan, the last one unless another is asked for; one that cannot be read is passed over. */
export function openOwn(id = null) {
  const alone = store.aside();
  if (alone && alone.id === id && !store.raw(id)) {
    restore(alone);
    open.clash = "removed";
    past = [];
    return true;
  }
  const wanted = [...new Set([id ?? store.lastOpen(), ...store.list().map((one) => one.id)])];
  for (const held of wanted.map(store.record).filter(Boolean)) {
    try {
      restore(held);
    } catch (error) {
      if (error instanceof Refused) continue;
      throw error;
    }
    past = store.past(held.id);
    group = null;
    store.noteOpen(held.id);
    unfinished();
    return true;
  }
  return false;
}

// What was typed in this tab after another had changed the plan is still there after a reload, and so is the choice.
function unfinished() {
  const held = store.aside();
  if (held?.id !== open.id) return;
  const { raw } = open;
  restore(held);
  Object.assign(open, { raw, clash: "changed" });
}

/** Can a record be read by the core? */
export function readable(held) {
  try {
    return Boolean(held) && encodeLink(held.plan) !== "";
  } catch (error) {
    return !(error instanceof Refused);
  }
}

/** Opens a plan to look at: the example or a friend's. */
export function openOther(mode, plan) {
  past = [];
  group = null;
  Object.assign(open, { mode, id: null, draft: fromPlan(plan), raw: null, clash: "" });
}

/** Makes `draft` a plan of one's own beside the others; undoing that leads back. */
export function takeOver(what, draft) {
  const back = open.mode === "own" ? open.id : (own()?.id ?? EXAMPLE);
  begin(what, draft, back);
  if (draft.id) draft.id = open.id;
  save();
}

/** Puts a copy of a kept plan beside it, named anew; its id. */
export function copyPlan(what, held, name) {
  const copy = fresh();
  store.keep(copy, JSON.stringify({ ...held, id: copy, plan: { ...held.plan, id: copy, name }, stamp: fresh(), when: Date.now() }));
  store.keepPast(copy, [{ what, born: true, back: held.id }]);
  return copy;
}

/** Names a kept plan that is not open; `first` at the first of several keystrokes. */
export function renamePlan(what, held, name, first) {
  if (first) store.keepPast(held.id, [...store.past(held.id), { what, was: held }].slice(-STEPS));
  store.keep(held.id, JSON.stringify({ ...held, plan: { ...held.plan, name }, stamp: fresh(), when: Date.now() }));
}

// Forty-eight random bits, as the plan format writes them.
function fresh() {
  return Array.from(crypto.getRandomValues(new Uint8Array(6)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// ---- the address ----

/** The open plan's link, without `#`. */
export const link = () => encodeLink(toPlan(open.draft));

/** Lets the address follow the own plan. Called when a field is left or a button pressed, never at a keystroke. */
export function follow() {
  if (open.mode === "own") history.replaceState({ plan: open.id }, "", `#${link()}`);
  else if (open.mode === "example") history.replaceState(null, "", location.pathname);
}

/** Reads a fragment; throws a sentence. */
export const readLink = (fragment) => decodeLink(fragment);

// ---- racks ----

/** Adds a rack and makes it the chosen one. */
export function addRack(draft) {
  draft.racks.push(rack(""));
  draft.chosen = draft.racks.length - 1;
}

/** Puts a copy of a rack behind it. */
export function copyRack(draft, i, name) {
  draft.racks.splice(i + 1, 0, { ...structuredClone(draft.racks[i]), name });
  draft.chosen = i + 1;
}

/** Alters which racks there are, or their order, without altering how one is fitted: what would no longer be carried over is written down. */
export function reshape(draft, alter) {
  const before = new Map(evaluate(toPlan(draft)).racks.map((seen, i) => [draft.racks[i], seen.fields]));
  alter(draft);
  for (const [i, rack] of draft.racks.entries()) {
    const now = evaluate(toPlan(draft)).racks[i].fields;
    for (const [name, was] of Object.entries(before.get(rack) ?? {})) {
      const is = now[name];
      if (was.status === "carried" && !(is?.text === was.text && is.unit === was.unit && is.side === was.side)) enter(draft, `racks.${i}.${name}`, { text: was.text, unit: was.unit, side: was.side });
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
