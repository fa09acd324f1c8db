// The plan in the person's own words, its history, and its place on the phone.
//
// A draft holds what each field holds: a text, a unit, a side. The plan format (what is stored, shared and worked out)
// is made from it by the core and read back from it by the core; nothing here understands a measurement.

import { compose, decodeLink, encodeLink, evaluate, table } from "./core.js";

const KEY = "donorack.plan";
const PAST = "donorack.past";
const UNITS = "donorack.units";
const STEPS = 100;

/** What is open: `mode` is "own", "example" or "friend". */
export const open = { mode: "example", id: null, draft: blank(), stored: true };

let past = [];
let group = null;

/** An empty plan with one empty rack. */
export function blank() {
  return { name: "", invented: false, car: {}, limits: {}, racks: [rack("")], chosen: 0, spacing: null, newer: null };
}

function rack(name) {
  return { name, note: "", entries: {}, travelBy: null, newer: null };
}

// ---- fields ----

/** Where a path leads: `car.wheelbase`, `racks.0.travel`, `limits.reserve`. */
export function parse(path) {
  const [part, a, b] = path.split(".");
  return part === "racks" ? { section: "rack", rack: Number(a), name: b } : { section: part, rack: null, name: a };
}

/** The row of the table for a path. */
export const spec = (path) => table.get(`${parse(path).section}.${parse(path).name}`);

function shelf(draft, path) {
  const { section, rack } = parse(path);
  return rack === null ? draft[section] : draft.racks[rack].entries;
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
      const units = table.get(`${section}.${name}`)?.units ?? [];
      const form = compose(section, name, held.text, held.unit || units[units.length > 1 && readUnits() === "inch" ? 1 : 0] || "", held.side);
      if (form !== "") out[name] = form;
    }
    return out;
  };
  const plan = { donorack: 1, ...(draft.linkFormat ? { link_format: draft.linkFormat } : {}) };
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

const HELD = new Set(["ok", "unclear"]);

/** A plan as a draft; `rest` is what the plan format does not hold: units and sides chosen before a number was typed. */
export function fromPlan(plan, rest = {}) {
  const view = evaluate(plan);
  const entries = (fields) =>
    Object.fromEntries(Object.entries(fields).filter(([, f]) => HELD.has(f.status)).map(([name, f]) => [name, { text: f.text, unit: f.unit, side: f.side ?? "" }]));
  const draft = {
    linkFormat: plan.link_format ?? null, name: plan.name ?? "", invented: plan.invented ?? false, car: entries(view.car), limits: entries(view.limits),
    racks: view.racks.map((seen, i) => ({ name: seen.name ?? "", note: seen.note ?? "", entries: entries(seen.fields), travelBy: null, newer: plan.racks?.[i]?.newer ?? null })),
    chosen: plan.chosen ?? 0, spacing: null, newer: plan.newer ?? null, carNewer: plan.car?.newer ?? null, limitsNewer: plan.limits?.newer ?? null,
  };
  for (const [path, held] of Object.entries(rest)) if (spec(path) && (parse(path).rack ?? 0) < draft.racks.length && !entry(path, draft)) enter(draft, path, held);
  return draft;
}

function record() {
  if (open.mode !== "own") return null;
  const plan = toPlan(open.draft);
  const rest = {};
  for (const path of paths(open.draft)) {
    const { section, rack, name } = parse(path);
    const written = rack === null ? plan[section] : plan.racks[rack];
    if (!(name in written)) rest[path] = entry(path);
  }
  return { id: open.id, plan, rest, asked: { spacing: open.draft.spacing, travelBy: open.draft.racks.map((r) => r.travelBy) } };
}

// ---- storage ----

function keep(key, value) {
  try {
    if (value === null) localStorage.removeItem(key);
    else localStorage.setItem(key, value);
    open.stored = true;
  } catch {
    open.stored = false;
  }
}

function kept(key) {
  try {
    return localStorage.getItem(key);
  } catch {
    return null;
  }
}

function keptJson(key) {
  try {
    return JSON.parse(kept(key));
  } catch {
    return null;
  }
}

/** The own plan as stored, or nothing. */
export function own() {
  const held = keptJson(KEY);
  return held && typeof held.id === "string" && held.plan ? held : null;
}

/** Stores the own plan; called at every keystroke. */
export function save() {
  const now = record();
  if (now) keep(KEY, JSON.stringify(now));
}

/** Millimetres or inches, as this person reads. */
export const readUnits = () => units;
let units = kept(UNITS) ?? (navigator.language === "en-US" ? "inch" : "mm");
/** Changes the units of the results, and of fields that are empty. */
export function setUnits(next) {
  // What a person sees beside a number belongs to the number from now on.
  for (const p of paths(open.draft)) if (entry(p).text !== "" && !entry(p).unit) enter(open.draft, p, { unit: unitOf(p) });
  units = next;
  keep(UNITS, next);
}

// ---- history ----

/** Changes the plan. Changes of one `key` in a row (typing in one field) are one step back; `what` names it. */
export function change(what, key, alter) {
  if (open.mode === "friend") return false;
  const turned = open.mode === "example";
  if (turned || key === null || key !== group) remember(what);
  group = key;
  const replaced = turned && own() !== null;
  if (turned) {
    open.mode = "own";
    open.id = fresh();
    open.draft = { ...open.draft, invented: false };
  }
  alter(open.draft);
  save();
  return turned ? (replaced ? "replaced" : "own") : true;
}

/** The next change is a step of its own. */
export const settle = () => {
  group = null;
};

function remember(what) {
  const now = open.mode === "own" ? record() : own();
  past = [...past, { what, was: now }].slice(-STEPS);
  keep(PAST, JSON.stringify(past));
}

/** What an undo would take back, or nothing. */
export const undoable = () => past.at(-1)?.what ?? null;

/** Takes the last change back and says what it was, and whether there was no own plan before, only the example. */
export function undo() {
  const last = past.at(-1);
  if (!last) return null;
  past = past.slice(0, -1);
  keep(PAST, JSON.stringify(past));
  group = null;
  if (last.was) {
    restore(last.was);
    save();
  } else keep(KEY, null);
  return { what: last.what, example: last.was === null };
}

function restore({ id, plan, rest, asked }) {
  const draft = fromPlan(plan, rest);
  draft.spacing = asked?.spacing ?? null;
  for (const [i, rack] of draft.racks.entries()) rack.travelBy = asked?.travelBy?.[i] ?? null;
  Object.assign(open, { mode: "own", id, draft });
}

/** Opens the stored own plan. */
export function openOwn() {
  const held = own();
  if (!held) return false;
  past = keptJson(PAST) ?? [];
  restore(held);
  group = null;
  return true;
}

/** Opens a plan to look at: the example or a friend's. */
export function openOther(mode, plan) {
  past = keptJson(PAST) ?? [];
  group = null;
  Object.assign(open, { mode, id: null, draft: fromPlan(plan) });
}

/** Makes `draft` the own plan; the one before is one step back. */
export function takeOver(what, draft) {
  const was = own();
  past = [...past, { what, was }].slice(-STEPS);
  keep(PAST, JSON.stringify(past));
  group = null;
  Object.assign(open, { mode: "own", id: fresh(), draft });
  save();
}

function fresh() {
  return Array.from(crypto.getRandomValues(new Uint8Array(8)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// ---- the address ----

/** The open plan's link, without `#`. */
export const link = () => encodeLink(toPlan(open.draft));

/** Lets the address follow the own plan. Called when a field is left or a button pressed, never at a keystroke. */
export function follow() {
  if (open.mode === "own") history.replaceState({ plan: open.id }, "", `#${link()}`);
  else if (open.mode === "example") history.replaceState(null, "", location.pathname + location.search);
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
