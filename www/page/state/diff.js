// Compares the own plan with another version of it, field by field; each difference can be taken over.

import { Refused, decodeLink, encodeLink } from "../core.js";
import { enter, fieldOf, spec } from "./draft.js";
import { fromPlan, toPlan } from "./format.js";
import { entry, open } from "./plan.js";
import { removeRack } from "./racks.js";
import * as store from "./store.js";
import { words } from "../words.js";

/** @import { BesideKind, Difference, Draft, Plan, PlanRack, PlanSection } from "../../types/page" */

const TEXTS = /** @type {const} */ (["name", "note"]);
/** @typedef {{ id: string, link: string, kind: BesideKind | null }} Reference to the other version */
/** @type {(Reference & { theirs: Plan, draft: Draft }) | null} */
let shown = null; // the other version: plan id, link, plan, and the same as a draft

/**
 * Shows another version of the own plan: one that came by a link, or of `kind` "kept" or "address" the one that the record or the address holds
 * after storage was full.
 * @type {(id: string, link: string, theirs: Plan, kind?: BesideKind | null) => void}
 */
export function layBeside(id, link, theirs, kind = null) {
  store.beside({ id, link, kind });
  shown = { id, link, kind, theirs, draft: fromPlan(theirs) };
}

/** Shows it again after a reload, if it is a version of the open plan. */
export function restoreBeside() {
  // Without session storage it is kept in memory only.
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

/** Closes it. */
export function putAway() {
  store.beside(null);
  shown = null;
}

/**
 * Where the other version comes from: "kept", "address", or `null` for a link.
 * @type {() => BesideKind | null}
 */
export const kind = () => shown?.kind ?? null;

/**
 * The link of the other version, or `null`.
 * @type {() => string | null}
 */
export const link = () => shown?.link ?? null;

/** @type {(rack: PlanRack, i: number) => string} */
const rackName = (rack, i) => rack.name || words.plan.rack(i + 1);

// Pairs the racks of two plans, by name, then by index: `found` has the index of theirs for each of mine, `free` the indices of theirs without a pair.
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
 * The differences between the own plan and another, both as a link holds them: `{key, label, mine, theirs, take(draft)}`.
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
 * The differences now, or `null` where there is no other version.
 * @type {() => Difference[] | null}
 */
export const rows = () =>
  shown && open.mode === "own" && open.id === shown.id ? differences(toPlan(open.draft), shown.theirs, shown.draft) : null;

/**
 * Whether two plans are equal, apart from which rack is shown.
 * @type {(own: Plan, theirs: Plan) => boolean}
 */
export const same = (own, theirs) => differences(own, theirs, fromPlan(theirs)).length === 0;
