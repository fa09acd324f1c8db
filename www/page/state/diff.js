// A plan of one's own that came back changed: what differs, field by field, each taken over by a tap.

import { Refused, decodeLink, encodeLink } from "../core.js";
import { enter, entry, fromPlan, open, removeRack, spec, toPlan } from "./plan.js";
import * as store from "./store.js";
import { words } from "../words.js";

const WORDS = ["name", "note"];
let shown = null; // what came back: its plan's id, its link, its plan, the same as a draft

/** Lays a plan beside one's own: one that came back, or of `kind` "kept" or "address" what a store without room left of this one. */
export function lay(id, link, theirs, kind = null) {
  store.beside({ id, link, kind });
  shown = { id, link, kind, theirs, draft: fromPlan(theirs) };
}

/** Lays it there again after a reload, if it is this plan's. */
export function again() {
  // A tab that may keep nothing has it as long as the page is open.
  const held = store.beside() ?? shown;
  if (!held || held.id !== open.id || open.mode !== "own") shown = null;
  else if (shown?.link !== held.link) read(held);
}

function read({ id, link, kind }) {
  try {
    lay(id, link, decodeLink(link), kind);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    away();
  }
}

/** Puts it away. */
export function away() {
  store.beside(null);
  shown = null;
}

/** Why it lies there: "kept", "address", or nothing for one that came back. */
export const kind = () => shown?.kind ?? null;

/** The link that came back, while it lies there. */
export const link = () => shown?.link ?? null;

const rackName = (rack, i) => rack.name || words.plan.rack(i + 1);

// Which of their racks is which of one's own: by name, then by place.
function pairs(mine, theirs) {
  const free = new Set(theirs.keys());
  const found = mine.map(({ name }) => {
    const j = [...free].find((k) => name && theirs[k].name === name);
    free.delete(j);
    return j ?? null;
  });
  for (const i of found.keys()) if (found[i] === null && free.delete(i)) found[i] = i;
  return { found, free: [...free] };
}

/** What differs between one's own plan and another, as a link writes both: `{key, label, mine, theirs, take(draft)}`. */
export function differences(own, theirs, draft) {
  const mine = decodeLink(encodeLink(own));
  const rows = [];
  const add = (key, label, a, b, take) => {
    if ((a ?? "") !== (b ?? "")) rows.push({ key, label, mine: a ?? "", theirs: b ?? "", take });
  };
  const fields = (a, b, path, from, named) => {
    for (const name of new Set([...Object.keys(a), ...Object.keys(b)])) {
      if (!spec(path(name))) continue;
      add(path(name), named(spec(path(name)).label), a[name], b[name], (to) =>
        enter(to, path(name), { text: "", unit: "", side: "", ...entry(from(name), draft) }),
      );
    }
  };
  add("name", words.plan.name, mine.name, theirs.name, (to) => {
    to.name = theirs.name ?? "";
  });
  for (const part of ["car", "limits"])
    fields(
      mine[part] ?? {},
      theirs[part] ?? {},
      (name) => `${part}.${name}`,
      (name) => `${part}.${name}`,
      (label) => label,
    );
  const [a, b] = [mine.racks ?? [], theirs.racks ?? []];
  const { found, free } = pairs(a, b);
  for (const [i, j] of found.entries()) {
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
    for (const what of WORDS)
      add(`racks.${i}.${what}`, named(words.rack[what]), a[i][what], b[j][what], (to) => {
        to.racks[i][what] = b[j][what] ?? "";
      });
    add(`racks.${i}.mark`, named(words.rack.mark), words.rack.marks[a[i].mark], words.rack.marks[b[j].mark], (to) => {
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
  const newer = (plan) => JSON.stringify([plan.newer, plan.car?.newer, plan.limits?.newer, (plan.racks ?? []).map((r) => r.newer)]);
  if (newer(mine) !== newer(theirs) && !rows.some((row) => /^(racks|added)\.\d+$/.test(row.key))) {
    rows.push({
      key: "newer",
      label: words.diff.newer,
      mine: words.diff.one,
      theirs: words.diff.another,
      take: (to) => {
        Object.assign(to, { newer: draft.newer, carNewer: draft.carNewer, limitsNewer: draft.limitsNewer });
        for (const [i, j] of found.entries()) to.racks[i].newer = draft.racks[j].newer;
      },
    });
  }
  return rows;
}

/** What differs now, or nothing where no plan lies beside. */
export const rows = () =>
  shown && open.mode === "own" && open.id === shown.id ? differences(toPlan(open.draft), shown.theirs, shown.draft) : null;

/** Do two plans say the same, but for which rack is chosen? */
export const same = (own, theirs) => differences(own, theirs, fromPlan(theirs)).length === 0;
