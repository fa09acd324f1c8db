// What follows from every key and every button.

import { Refused, inUnit } from "../core.js";
import { commit, later, refresh } from "./commit.js";
import * as compare from "../parts/side/side.js";
import * as fields from "../widgets/fields.js";
import * as form from "../parts/form/form.js";
import { tell } from "../widgets/note.js";
import * as opening from "./opening.js";
import { rebuild } from "../paint.js";
import * as parts from "../parts/parts.js";
import * as plan from "../state/plan.js";
import { open } from "../state/plan.js";
import * as plans from "../parts/frame/plans.js";
import * as row from "../parts/frame/row.js";
import { act, blankRack, changed, rackName, seen, state } from "../state/state.js";
import * as sharing from "../share.js";
import * as store from "../state/store.js";
import * as turning from "../parts/turning/turning.js";
import { words } from "../words.js";

const undoing = { what: "undo", label: words.do.undo };

// Tells whether it was done; what the core refuses is said and not done.
function alter(what, key, change) {
  let done = false;
  try {
    done = plan.change(what, key, change);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    rebuild();
    commit();
    tell(error.message, true);
    return false;
  }
  if (done === "own") tell(words.said.own, true);
  if (store.state.trouble || history.state?.kept === false) later();
  plans.worthKeeping();
  return done;
}

const label = (path) => plan.spec(path)?.label ?? path;

// A carried-over value typed over keeps the side it had, until another is chosen.
function sideFor(path) {
  const held = seen(path);
  return plan.entry(path) || held?.status !== "carried" ? {} : { side: held.side ?? "" };
}

function type(path, typed) {
  const { rack } = plan.parse(path);
  const unit = plan.entry(path)?.unit || (seen(path)?.status === "carried" ? seen(path).unit : plan.unitOf(path));
  if (
    alter(label(path), path, (draft) => {
      // The rack that is being measured is the one whose verdict is wanted.
      if (rack !== null) draft.chosen = rack;
      plan.enter(draft, path, { text: typed, unit, ...sideFor(path) });
    }) !== false
  )
    refresh(true);
}

function side(path, name) {
  const held = seen(path);
  const carried = !plan.entry(path) && held?.status === "carried" && !plan.spec(path).choice ? { text: held.text, unit: held.unit } : {};
  const { rack } = plan.parse(path);
  alter(label(path), null, (draft) => {
    if (rack !== null) draft.chosen = rack;
    plan.enter(draft, path, { ...carried, side: name });
  });
  commit();
}

// The other unit for a field: what stands there is written in it if that says exactly the same. Else it is asked.
function unit(path) {
  const { units } = plan.spec(path);
  const { section, name } = plan.parse(path);
  const held = seen(path);
  const now = !plan.entry(path) && held?.status === "carried" ? held.unit : plan.unitOf(path);
  const other = units[(units.indexOf(now) + 1) % units.length];
  const typed = plan.entry(path)?.text ?? "";
  const enter = (text) => {
    alter(label(path), null, (draft) => plan.enter(draft, path, text === "" ? { unit: other } : { text, unit: other }));
    commit();
    fields.showKeys(path);
  };
  const text = typed.trim() === "" ? typed : inUnit(section, name, typed, now, other);
  if (text === null)
    return tell(words.unit.not(typed, now, other), true, { label: words.unit.write(typed, other), run: () => enter(typed) });
  enter(text);
  return text === typed ? undefined : tell(words.unit.same(typed, now, text, other), true, undoing);
}

// A limit turned off; turned on again it is the one of common practice, or none.
function off(path) {
  const was = plan.entry(path)?.text === "off";
  alter(label(path), null, (draft) => plan.enter(draft, path, { text: was ? "" : "off" }));
  commit();
  tell(words.limit.changed[was ? "on" : "off"](label(path)));
}

function spacing(name) {
  if (
    alter(words.steps.spacing, null, (draft) => {
      draft.spacing = name;
    }) === false
  )
    return;
  rebuild();
  commit();
}

function travelBy(i, name) {
  if (
    alter(words.steps.spacing, null, (draft) => {
      draft.racks[i].travelBy = name;
    }) === false
  )
    return;
  rebuild();
  commit();
}

function rackText(i, what, typed) {
  if (
    alter(what === "name" ? words.steps.rackName : words.steps.note, `racks.${i}.${what}`, (draft) => {
      draft.racks[i][what] = typed;
    }) !== false
  )
    refresh(true);
}

// What the builder means to do with a rack; the same once more takes it back.
function mark(i, word) {
  const now = open.draft.racks[i].mark === word ? null : word;
  if (
    alter(words.steps.mark, null, (draft) => {
      draft.racks[i].mark = now;
    }) === false
  )
    return;
  commit();
  tell(words.said.marked(rackName(i), now));
}

function choose(i) {
  if (i === open.draft.chosen) return tell(words.said.chosen(rackName(i)));
  if (open.mode === "friend" || open.mode === "example") open.draft.chosen = i;
  else
    alter(words.steps.choose, null, (draft) => {
      draft.chosen = i;
    });
  commit();
  return tell(words.said.chosen(rackName(i)));
}

function sort(key) {
  const { row, first, on, alike } = compare.sortBy(key);
  changed();
  if (on) tell(`${words.said.sorted(row, first)}${alike ? ` ${words.compare.sortedAlike(alike)}` : ""}`);
}

function take(rows) {
  const label = rows.length === 1 ? rows[0].label : words.diff.several;
  const done = alter(words.steps.take(label), null, (draft) => {
    // What adds or takes away a rack comes last, so that the others are where they were.
    const shape = (row) => /^(racks|added)\.\d+$/.test(row.key);
    for (const row of rows.filter((r) => !shape(r))) row.take(draft);
    plan.reshape(draft, () =>
      rows
        .filter(shape)
        .reverse()
        .forEach((row) => row.take(draft)),
    );
  });
  if (!done) return;
  rebuild();
  commit();
  tell(words.diff.said(label), true, undoing);
}

function rename(name) {
  if (
    alter(words.steps.name, "name", (draft) => {
      draft.name = name;
    }) !== false
  )
    refresh(true);
}

function move(i, by) {
  const name = rackName(i);
  if (!alter(words.steps.move, null, (draft) => plan.reshape(draft, () => plan.moveRack(draft, i, by)))) return;
  rebuild();
  commit();
  const button = document.querySelector(`details.card[data-rack="${i + by}"] [data-do="${by < 0 ? "up" : "down"}-rack"]`);
  (button?.disabled ? document.querySelector(`details.card[data-rack="${i + by}"] summary`) : button)?.focus();
  tell(words.said.moved(name));
}

// Those whose name stands at their button (`data-do`).
const deeds = {
  start() {
    plan.takeOver(words.steps.start, plan.blank());
    opening.fresh();
    parts.show("car");
    tell(words.said.fresh);
    document.querySelector("[data-field='car.wheelbase']").focus();
  },
  mine: () => opening.home(),
  back: () => opening.home(),
  drop: () => opening.home(),
  example: () => opening.showExample(),
  keep() {
    plan.takeOver(words.steps.keep, open.draft);
    opening.fresh();
    tell(words.said.kept, true);
  },
  paste: () => plans.show("paste"),
  "tab-theirs": () => opening.settle("theirs"),
  "tab-mine": () => opening.settle("mine"),
  "tab-both": () => opening.settle("both"),
  undo() {
    const beside = document.activeElement?.dataset.note !== undefined;
    const undone = plan.undo();
    if (!undone) return;
    if (undone.example) opening.showExample();
    else {
      rebuild();
      commit();
    }
    if (beside) document.querySelector("#bar [data-do=undo]:enabled, #bar button")?.focus({ preventScroll: true });
    tell(words.said.undone(undone.what), true);
  },
  share: () => sharing.share((sentence) => tell(sentence, true)),
  "add-rack"() {
    if (!alter(words.steps.add, null, (draft) => plan.addRack(draft))) return;
    parts.show("racks");
    rebuild();
    commit();
    const i = open.draft.racks.length - 1;
    form.unfold(i)?.scrollIntoView({ block: "start" });
    document.querySelector(`[data-field="racks.${i}.inner_joint_spacing"]`)?.focus();
    tell(words.said.added(rackName(i)));
  },
  "first-rack"() {
    const i = open.draft.racks.findIndex(blankRack);
    if (i < 0) deeds["add-rack"]();
    else fill(`racks.${i}.inner_joint_spacing`);
  },
  "copy-rack"(i) {
    const name = rackName(i);
    if (
      !alter(words.steps.copy, null, (draft) =>
        plan.copyRack(
          draft,
          i,
          words.plan.copy(
            name,
            open.draft.racks.map((_, k) => rackName(k)),
          ),
        ),
      )
    )
      return;
    rebuild();
    commit();
    form
      .unfold(i + 1)
      ?.querySelector("summary")
      .focus();
    tell(words.said.copied(name), true, undoing);
  },
  "remove-rack"(i) {
    const name = rackName(i);
    if (!alter(words.steps.remove, null, (draft) => plan.reshape(draft, () => plan.removeRack(draft, i)))) return;
    rebuild();
    commit();
    (
      document.querySelector(`details.card[data-rack="${Math.max(0, i - 1)}"] summary`) ?? document.querySelector("[data-do=add-rack]")
    ).focus();
    tell(words.said.removed(name), true, undoing);
  },
  "up-rack": (i) => move(i, -1),
  "down-rack": (i) => move(i, 1),
};

/** Goes to a part as a tap on its name does. */
function go(name) {
  row.typing(false);
  parts.show(name, { focus: true });
}

/** Goes to what is missing: a measurement by its path, or a part. */
function fill(path) {
  const [section, rack] = path.split(".");
  const name = { car: "car", limits: "car" }[section] ?? "racks";
  go(name);
  if (section === "racks" && rack !== undefined) form.unfold(Number(rack));
  const field = document.querySelector(`[data-field="${CSS.escape(path)}"], [data-sides="${CSS.escape(path)}"]`);
  field?.closest("details:not([open])")?.setAttribute("open", "");
  field?.focus();
}

/** What the strip speaks of, in whichever part that is. */
function toReason() {
  const { kind, lacks } = state.shown?.parts.find((state) => state.part === "turning") ?? {};
  if (kind === "missing" && lacks) return fill(lacks);
  go("turning");
  return turning.toReason();
}

const others = { type, side, unit, off, spacing, travelBy, rackText, mark, choose, sort, take, rename, go, fill, reason: toReason };

/** Lets whatever listens call them all. */
export const register = () => void Object.assign(act, deeds, others, opening.deeds);
