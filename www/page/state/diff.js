// A plan of one's own that came back changed: what differs, field by field, each taken over by a tap.

import { Refused, decodeLink, encodeLink } from "../core.js";
import { enter, entry, fieldOf, fromPlan, open, removeRack, spec, toPlan } from "./plan.js";
import * as store from "./store.js";
import { words } from "../words.js";

/** @import { BesideKind, Difference, Draft, Plan, PlanRack, PlanSection } from "../../types/page" */

const TEXTS = /** @type {const} */ (["name", "note"]);
/** @typedef {{ id: string, link: string, kind: BesideKind | null }} Reference to a plan that lies beside one's own */
/** @type {(Reference & { theirs: Plan, draft: Draft }) | null} */
let shown = null; // what came back: its plan's id, its link, its plan, the same as a draft

/**
 * Lays a plan beside one's own: one that came back, or of `kind` "kept" or "address" the other version of this one after the storage was full.
 * @type {(id: string, link: string, theirs: Plan, kind?: BesideKind | null) => void}
 */
export function layBeside(id, link, theirs, kind = null) {
  store.beside({ id, link, kind });
  shown = { id, link, kind, theirs, draft: fromPlan(theirs) };
}

/** Lays it there again after a reload, if it is this plan's. */
export function restoreBeside() {
  // Without session storage it is in memory only.
  const held = store.beside() ?? shown;
  if (!held || held.id !== open.id || open.mode !== "own") shown = null;
  else if (shown?.link !== held.link) readBeside(held);
}

/** @type {(reference: Reference) => void} */
function readBeside({ id, link, kind }) {
  try {
    layBeside(id, link, decodeLink(link), kind);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    putAway();
  }
}

/** Puts it away. */
export function putAway() {
  store.beside(null);
  shown = null;
}

/**
 * Why it lies there: "kept", "address", or nothing for one that came back.
 * @type {() => BesideKind | null}
 */
export const kind = () => shown?.kind ?? null;

/**
 * The link that came back, while it lies there.
 * @type {() => string | null}
 */
export const link = () => shown?.link ?? null;

/** @type {(rack: PlanRack, i: number) => string} */
const rackName = (rack, i) => rack.name || words.plan.rack(i + 1);

// Pairs the racks of two plans: by name, then by index. `free` are their racks without a partner.
/** @type {(mine: PlanRack[], theirs: PlanRack[]) => { found: (number | null)[], free: number[] }} */
function pairRacks(mine, theirs) {
  const free = new Set(theirs.keys());
  const found = mine.map(({ name }) => {
    const j = [...free].find((k) => name && theirs[k].name === name);
    if (j !== undefined) free.delete(j);
    return j ?? null;
  });
  for (const i of found.keys()) if (found[i] === null && free.delete(i)) found[i] = i;
  return { found, free: [...free] };
}

/**
 * What differs between one's own plan and another, as a link writes both: `{key, label, mine, theirs, take(draft)}`.
 * @type {(own: Plan, theirs: Plan, draft: Draft) => Difference[]}
 */
export function differences(own, theirs, draft) {
  const mine = decodeLink(encodeLink(own));
  /** @type {Difference[]} */
  const rows = [];
  /** @type {(key: string, label: string, a: PlanSection[string], b: PlanSection[string], take: Difference["take"]) => void} */
  const add = (key, label, a, b, take) => {
    if ((a ?? "") !== (b ?? "")) rows.push({ key, label, mine: String(a ?? ""), theirs: String(b ?? ""), take });
  };
  /** @typedef {(name: string) => string} Naming */
  /** @type {(a: PlanSection, b: PlanSection, path: Naming, from: Naming, named: Naming) => void} */
  const fields = (a, b, path, from, named) => {
    for (const name of new Set([...Object.keys(a), ...Object.keys(b)])) {
      if (!spec(path(name))) continue;
      add(path(name), named(fieldOf(path(name)).label), a[name], b[name], (to) =>
        enter(to, path(name), { text: "", unit: "", side: "", ...entry(from(name), draft) }),
      );
    }
  };
  add("name", words.plan.name, mine.name, theirs.name, (to) => {
    to.name = theirs.name ?? "";
  });
  for (const part of /** @type {const} */ (["car", "limits"]))
    fields(
      mine[part] ?? {},
      theirs[part] ?? {},
      (name) => `${part}.${name}`,
      (name) => `${part}.${name}`,
      (label) => label,
    );
  const [a, b] = [mine.racks ?? [], theirs.racks ?? []];
  const { found, free } = pairRacks(a, b);
  for (const [i, j] of found.entries()) {
    /** @type {(label: string) => string} */
    const named = (label) => words.diff.of(rackName(a[i], i), label);
    if (j === null) {
      rows.push({
        key: `racks.${i}`,
        label: words.diff.rack(rackName(a[i], i)),
        mine: words.diff.there,
        theirs: words.diff.missing,
        take: (to) => removeRack(to, i),
      });
      continue;
    }
    for (const what of TEXTS)
      add(`racks.${i}.${what}`, named(words.rack[what]), a[i][what], b[j][what], (to) => {
        to.racks[i][what] = b[j][what] ?? "";
      });
    add(`racks.${i}.mark`, named(words.rack.mark), words.rack.marks[a[i].mark ?? ""], words.rack.marks[b[j].mark ?? ""], (to) => {
      to.racks[i].mark = b[j].mark ?? null;
    });
    fields(
      a[i],
      b[j],
      (name) => `racks.${i}.${name}`,
      (name) => `racks.${j}.${name}`,
      named,
    );
  }
  for (const j of free)
    rows.push({
      key: `added.${j}`,
      label: words.diff.rack(rackName(b[j], j)),
      mine: words.diff.missing,
      theirs: words.diff.there,
      take: (to) => to.racks.push(structuredClone(draft.racks[j])),
    });
  /** @type {(plan: Plan) => string} */
  const newer = (plan) => JSON.stringify([plan.newer, plan.car?.newer, plan.limits?.newer, (plan.racks ?? []).map((r) => r.newer)]);
  if (newer(mine) !== newer(theirs) && !rows.some((row) => /^(racks|added)\.\d+$/.test(row.key))) {
    rows.push({
      key: "newer",
      label: words.diff.newer,
      mine: words.diff.one,
      theirs: words.diff.another,
      take: (to) => {
        Object.assign(to, { newer: draft.newer, carNewer: draft.carNewer, limitsNewer: draft.limitsNewer });
        for (const [i, j] of found.entries()) if (j !== null) to.racks[i].newer = draft.racks[j].newer;
      },
    });
  }
  return rows;
}

/**
 * What differs now, or nothing where no plan lies beside.
 * @type {() => Difference[] | null}
 */
export const rows = () =>
  shown && open.mode === "own" && open.id === shown.id ? differences(toPlan(open.draft), shown.theirs, shown.draft) : null;

/**
 * Do two plans say the same, but for which rack is chosen?
 * @type {(own: Plan, theirs: Plan) => boolean}
 */
export const same = (own, theirs) => differences(own, theirs, fromPlan(theirs)).length === 0;
