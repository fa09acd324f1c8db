// A plan of one's own that came back changed: what differs, field by field, each taken over by a tap.

import { Refused, decodeLink, encodeLink, most } from "./core.js";
import { h } from "./widgets/dom.js";
import { enter, entry, fromPlan, isFull, open, removeRack, spec, toPlan } from "./plan.js";
import * as store from "./store.js";
import { words } from "./words.js";

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

/** Shows what differs, each with its button; `act.take` gets a row, or all. */
export function paint(act) {
  const place = document.getElementById("beside");
  const now = rows();
  place.hidden = now === null;
  const key = now && JSON.stringify([open.id, shown.kind, isFull(), now.map(({ key, mine, theirs }) => [key, mine, theirs])]);
  if (!now || place.dataset.key === key) return;
  place.dataset.key = key;
  const button = (what, text, onclick, label = null, disabled = false) =>
    h(
      "button",
      { type: "button", class: "quiet", "data-focus": `beside-${what}`, "data-take": what, "aria-label": label, disabled, onclick },
      text,
    );
  // A plan that holds as many racks as one may takes no other; all at once only where the others leave room for theirs.
  const more = now.filter(({ key }) => key.startsWith("added.")).length;
  const fewer = now.filter(({ key }) => /^racks\.\d+$/.test(key)).length;
  const full = ({ key }) => key.startsWith("added.") && isFull();
  const held = place.contains(document.activeElement) ? [...place.querySelectorAll("button")].indexOf(document.activeElement) : -1;
  place.replaceChildren(
    h(
      "div",
      { class: "in" },
      h("h2", { id: "beside-title" }, words.diff.titles[shown.kind] ?? words.diff.title),
      h("p", { class: "sub" }, now.length ? words.diff.count(now.length) : words.diff.none),
      h(
        "ul",
        { class: "differs" },
        now.map((row) =>
          h(
            "li",
            { "data-differs": row.key },
            h("b", { class: "what" }, row.label),
            h("span", { class: "mine" }, h("small", {}, words.diff.mine), " ", h("bdi", {}, row.mine || words.diff.nothing)),
            h("span", { class: "theirs" }, h("small", {}, words.diff.theirs), " ", h("bdi", {}, row.theirs || words.diff.nothing)),
            full(row)
              ? h("small", { class: "full" }, words.diff.full)
              : button(row.key, words.diff.take, () => act.take([row]), words.diff.takeWhat(row.label, row.theirs || words.diff.nothing)),
          ),
        ),
      ),
      h(
        "div",
        { class: "buttons" },
        now.length > 1
          ? button("all", words.diff.all, () => act.take(now), null, open.draft.racks.length - fewer + more > most.racks)
          : null,
        now.length ? button("look", words.diff.look, act.look) : null,
        button("away", words.diff.away, act.away),
      ),
    ),
  );
  const buttons = [...place.querySelectorAll("button")];
  if (held >= 0) buttons[Math.min(held, buttons.length - 1)].focus({ preventScroll: true });
}
