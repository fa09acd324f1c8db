// What this browser keeps for the page: a record a plan, its past, which one is open. Nothing here understands a plan.
//
// Every call may be refused, and any text may have been spoilt: what cannot be kept is said, what cannot be read is left alone.

const PLAN = "donorack.plan.";
const PAST = "donorack.past.";
const OPEN = "donorack.open";
const GONE = "donorack.gone";
const MOST_GONE = 20;

/** How it stands: `trouble` is "", "refused" or "full". */
export const state = { trouble: "" };

/** A text, or nothing. */
export function read(key) {
  try {
    return localStorage.getItem(key);
  } catch {
    state.trouble = "refused";
    return null;
  }
}

/** Keeps a text, or takes it away for `null`; tells whether that was done. */
export function write(key, text) {
  try {
    if (text === null) localStorage.removeItem(key);
    else put(key, text);
    return true;
  } catch (error) {
    state.trouble = isFull(error) ? "full" : "refused";
    return false;
  }
}

const isFull = (error) => error?.name === "QuotaExceededError" || error?.name === "NS_ERROR_DOM_QUOTA_REACHED";

// Where there is no room the steps back of other plans give way, then this plan's own, then what was removed.
function put(key, text) {
  const id = key.slice(PLAN.length);
  const others = () => keys(PAST).filter((k) => k !== PAST + id && k !== key);
  for (const give of [others, () => [PAST + id], () => [GONE], null]) {
    try {
      return localStorage.setItem(key, text);
    } catch (error) {
      if (!give || !isFull(error) || !key.startsWith(PLAN)) throw error;
      for (const k of give()) localStorage.removeItem(k);
    }
  }
  return undefined;
}

function keys(prefix) {
  try {
    return Array.from({ length: localStorage.length }, (_, i) => localStorage.key(i)).filter((key) => key?.startsWith(prefix));
  } catch {
    state.trouble = "refused";
    return [];
  }
}

function json(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

// ---- plans ----

/** The key under which a plan is kept. */
export const keyOf = (id) => PLAN + id;
/** A plan's record as it is kept, letter by letter. */
export const raw = (id) => read(PLAN + id);

/** What a text of the store says, if it is a record. */
export function parse(text) {
  const held = text ? json(text) : null;
  return held && typeof held === "object" && typeof held.id === "string" && held.plan ? held : null;
}

/** A plan's record, or nothing. */
export const record = (id) => (id ? parse(raw(id)) : null);
/** Keeps the text of a record; tells whether that was done. */
export function keep(id, text) {
  const done = write(PLAN + id, text);
  if (done) state.trouble = "";
  return done;
}

/** All plans: `{id, held}`, the last changed first; `held` is nothing where the text cannot be read. */
export function list() {
  const all = keys(PLAN).map((key) => ({ id: key.slice(PLAN.length), held: parse(read(key)) }));
  return all.sort((a, b) => (b.held?.when ?? 0) - (a.held?.when ?? 0));
}

/** Which plan was open last. */
export const lastOpen = () => read(OPEN);
/** Notes which plan is open. */
export const noteOpen = (id) => (read(OPEN) === id ? true : write(OPEN, id));

/** The steps back of a plan. */
export function past(id) {
  const held = json(read(PAST + id));
  return Array.isArray(held) ? held.filter((step) => step && typeof step === "object") : [];
}

/** Keeps the steps back of a plan. They matter less than the plan: where they have no room, they go. */
export function keepPast(id, steps) {
  const { trouble } = state;
  if (!write(PAST + id, steps.length ? JSON.stringify(steps) : null) && state.trouble === "full") {
    write(PAST + id, null);
    state.trouble = trouble;
  }
}

// ---- what was removed ----

/** The plans that were removed, the last one first: `{held, past}`. */
export function gone() {
  const all = json(read(GONE));
  return Array.isArray(all) ? all.filter((one) => one?.held?.id && one.held.plan) : [];
}

/** Takes a plan away and keeps it among the removed. */
export function remove(id) {
  const held = record(id);
  if (held) write(GONE, JSON.stringify([{ held, past: past(id) }, ...gone()].slice(0, MOST_GONE)));
  forget(id);
}

/** Takes a plan away. */
export function forget(id) {
  write(PLAN + id, null);
  write(PAST + id, null);
}

/** Brings a removed plan back; tells whether it is there again. */
export function bringBack(id) {
  const all = gone();
  const one = all.find(({ held }) => held.id === id);
  if (!one || !keep(id, JSON.stringify(one.held))) return false;
  keepPast(id, one.past ?? []);
  write(GONE, JSON.stringify(all.filter((other) => other !== one)));
  return true;
}

// ---- this tab alone ----

const ASIDE = "donorack.aside";
const BESIDE = "donorack.beside";
const HERE = "donorack.place";

function tab(key, value) {
  try {
    if (value === undefined) return json(sessionStorage.getItem(key));
    if (value === null) sessionStorage.removeItem(key);
    else sessionStorage.setItem(key, JSON.stringify(value));
  } catch {
    // A tab that may keep nothing forgets it when it is closed.
  }
  return null;
}

/** What was typed here while another tab had changed the plan: given, read, or taken away for `null`. */
export const aside = (held) => tab(ASIDE, held);
/** The place on the page, as this tab left it. */
export const here = (held) => tab(HERE, held);
/** A plan that came back changed and lies beside one's own: `{id, link}`. */
export const beside = (held) => tab(BESIDE, held);
