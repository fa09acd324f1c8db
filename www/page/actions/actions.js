// Every action: what a keystroke in a field and each button does.

import { Refused, asTyped, inUnit } from "../core.js";
import { commit, followSoon, refresh } from "./commit.js";
import * as side from "../parts/side/side.js";
import * as fields from "../widgets/fields.js";
import * as form from "../parts/form/form.js";
import { announce } from "../widgets/note.js";
import * as opening from "./opening.js";
import { rebuild } from "../paint.js";
import { partOf } from "../parts/form/measurements.js";
import * as parts from "../parts/parts.js";
import * as points from "../parts/points/points.js";
import { blank, enter, fieldOf, parse, spec } from "../state/draft.js";
import { changePlan, undo } from "../state/history.js";
import { toPlan } from "../state/format.js";
import { openAsOwn } from "../state/opening.js";
import { entry, open } from "../state/plan.js";
import { addRack, copyRack, moveRack, removeRack, reshape } from "../state/racks.js";
import { unitOf } from "../state/units.js";
import * as plans from "../parts/frame/plans.js";
import * as row from "../parts/frame/row.js";
import { act, blankRack, notify, rackName, fieldView, state } from "../state/state.js";
import * as sharing from "../share.js";
import * as store from "../state/store.js";
import * as turning from "../parts/turning/turning.js";
import { find } from "../widgets/dom.js";
import { words } from "../words.js";

/** @import { Actions, ButtonActions, Difference, Draft, Entry, NoteButton } from "../../types/page" */

/** @type {NoteButton} */
const UNDO = { what: "undo", label: words.do.undo };

// Returns whether the change was made; a change that the core refuses is taken back, and its reason announced.
/** @type {(what: string, key: string | null, change: (draft: Draft) => unknown) => boolean | "own"} */
function alter(what, key, change) {
  /** @type {boolean | "own"} */
  let done = false;
  try {
    done = changePlan(what, key, change);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    rebuild();
    commit();
    announce(error.message, true);
    return false;
  }
  if (done === "own") announce(words.said.own, true);
  if (store.state.trouble || history.state?.kept === false) followSoon();
  plans.worthKeeping();
  return done;
}

/** @type {(path: string) => string} */
const fieldLabel = (path) => spec(path)?.label ?? path;

// A carried-over value that is typed over keeps its side until another is chosen.
/** @type {(path: string) => Partial<Entry>} */
function sideFor(path) {
  const held = fieldView(path);
  return entry(path) || held?.status !== "carried" ? {} : { side: held.side ?? "" };
}

/** @type {Actions["typeText"]} */
function typeText(path, typed) {
  const { rack } = parse(path);
  const held = fieldView(path);
  const unit = entry(path)?.unit || (held?.status === "carried" ? held.unit : unitOf(path));
  if (
    alter(fieldLabel(path), path, (draft) => {
      // The rack that is being measured becomes the one shown.
      if (rack !== null) draft.chosen = rack;
      enter(draft, path, { text: typed, unit, ...sideFor(path) });
    }) !== false
  )
    refresh(true);
}

/** @type {Actions["chooseSide"]} */
function chooseSide(path, name) {
  const held = fieldView(path);
  const carried = !entry(path) && held?.status === "carried" && !fieldOf(path).choice ? { text: held.text, unit: held.unit } : {};
  const { rack } = parse(path);
  alter(fieldLabel(path), null, (draft) => {
    if (rack !== null) draft.chosen = rack;
    enter(draft, path, { ...carried, side: name });
  });
  commit();
}

// Changes a field to its other unit: the text is converted where that is exact; otherwise the person is asked.
/** @type {Actions["changeUnit"]} */
function changeUnit(path) {
  const { units } = fieldOf(path);
  const { section, name } = parse(path);
  const held = fieldView(path);
  const now = !entry(path) && held?.status === "carried" ? held.unit : unitOf(path);
  const other = units[(units.indexOf(now) + 1) % units.length];
  const typed = entry(path)?.text ?? "";
  /** @type {(text: string) => void} */
  const write = (text) => {
    alter(fieldLabel(path), null, (draft) => enter(draft, path, text === "" ? { unit: other } : { text, unit: other }));
    commit();
    fields.showKeys(path);
  };
  const text = typed.trim() === "" ? typed : inUnit(section, name, typed, now, other);
  if (text === null)
    return announce(words.unit.not(typed, now, other), true, { label: words.unit.write(typed, other), run: () => write(typed) });
  write(text);
  return text === typed ? undefined : announce(words.unit.same(typed, now, text, other), true, UNDO);
}

// Turns a limit off, or on again: then it is that of common practice, if there is one.
/** @type {Actions["toggleLimit"]} */
function toggleLimit(path) {
  const was = entry(path)?.text === "off";
  alter(fieldLabel(path), null, (draft) => enter(draft, path, { text: was ? "" : "off" }));
  commit();
  announce(words.limit.changed[was ? "on" : "off"](fieldLabel(path)));
}

/** @type {Actions["chooseSpacing"]} */
function chooseSpacing(name) {
  if (
    alter(words.steps.spacing, null, (draft) => {
      draft.spacing = name;
    }) === false
  )
    return;
  rebuild();
  commit();
}

/** @type {Actions["chooseTravelBy"]} */
function chooseTravelBy(i, name) {
  if (
    alter(words.steps.spacing, null, (draft) => {
      draft.racks[i].travelBy = name;
    }) === false
  )
    return;
  rebuild();
  commit();
}

/** @type {Actions["rackText"]} */
function rackText(i, what, typed) {
  if (
    alter(what === "name" ? words.steps.rackName : words.steps.note, `racks.${i}.${what}`, (draft) => {
      draft.racks[i][what] = typed;
    }) !== false
  )
    refresh(true);
}

// Marks what the builder means to do with a rack; the same mark again removes it.
/** @type {Actions["markRack"]} */
function markRack(i, word) {
  const now = open.draft.racks[i].mark === word ? null : word;
  if (
    alter(words.steps.mark, null, (draft) => {
      draft.racks[i].mark = now;
    }) === false
  )
    return;
  commit();
  announce(words.said.marked(rackName(i), now));
}

/** @type {Actions["choose"]} */
function choose(i) {
  if (i === open.draft.chosen) return announce(words.said.chosen(rackName(i)));
  if (open.mode === "friend" || open.mode === "example") open.draft.chosen = i;
  else
    alter(words.steps.choose, null, (draft) => {
      draft.chosen = i;
    });
  commit();
  return announce(words.said.chosen(rackName(i)));
}

/** @type {Actions["sortBy"]} */
function sortBy(key) {
  const { row, first, on, alike } = side.sortBy(key);
  notify();
  if (on) announce(`${words.said.sorted(row, first)}${alike ? ` ${words.compare.sortedAlike(alike)}` : ""}`);
}

/** @type {Actions["takeOver"]} */
function takeOver(rows) {
  const label = rows.length === 1 ? rows[0].label : words.diff.several;
  const done = alter(words.steps.take(label), null, (draft) => {
    // Adding and removing racks comes last, so that the indices of the others still hold.
    /** @type {(row: Difference) => boolean} */
    const shape = (row) => /^(racks|added)\.\d+$/.test(row.key);
    for (const row of rows.filter((r) => !shape(r))) row.take(draft);
    reshape(draft, () =>
      rows
        .filter(shape)
        .reverse()
        .forEach((row) => row.take(draft)),
    );
  });
  if (!done) return;
  rebuild();
  commit();
  announce(words.diff.said(label), true, UNDO);
}

/** @type {Actions["rename"]} */
function rename(name) {
  if (
    alter(words.steps.name, "name", (draft) => {
      draft.name = name;
    }) !== false
  )
    refresh(true);
}

/** @type {(i: number, by: number) => void} */
function move(i, by) {
  const name = rackName(i);
  if (!alter(words.steps.move, null, (draft) => reshape(draft, () => moveRack(draft, i, by)))) return;
  rebuild();
  commit();
  const card = `details.card[data-rack="${i + by}"]`;
  const button = find(`${card} [data-do="${by < 0 ? "up" : "down"}-rack"]`, document, HTMLButtonElement);
  (button?.disabled ? find(`${card} summary`) : button)?.focus();
  announce(words.said.moved(name));
}

// Actions that a button names in `data-do`.
/** @type {Omit<ButtonActions, "reason" | "choose">} */
const buttonActions = {
  start() {
    openAsOwn(words.steps.start, blank());
    opening.showOpened();
    parts.show("car");
    announce(words.said.fresh);
    find("[data-field='car.wheelbase']")?.focus();
  },
  mine: () => opening.showOwn(),
  back: () => opening.showOwn(),
  drop: () => opening.showOwn(),
  example: () => opening.showExample(),
  keep() {
    openAsOwn(words.steps.keep, open.draft);
    opening.showOpened();
    announce(words.said.kept, true);
  },
  paste: () => plans.show("paste"),
  "tab-theirs": () => opening.chooseVersion("theirs"),
  "tab-mine": () => opening.chooseVersion("mine"),
  "tab-both": () => opening.chooseVersion("both"),
  undo() {
    const beside = document.activeElement?.hasAttribute("data-note");
    const undone = undo();
    if (!undone) return;
    if (undone.example) opening.showExample();
    else {
      rebuild();
      commit();
    }
    if (beside) find("#bar [data-do=undo]:enabled, #bar button")?.focus({ preventScroll: true });
    announce(words.said.undone(undone.what), true);
  },
  share: () => sharing.share((sentence) => announce(sentence, true)),
  "add-rack"() {
    if (!alter(words.steps.add, null, (draft) => addRack(draft))) return;
    parts.show("racks");
    rebuild();
    commit();
    const i = open.draft.racks.length - 1;
    form.unfold(i)?.scrollIntoView({ block: "start" });
    find(`[data-field="racks.${i}.inner_joint_spacing"]`)?.focus();
    announce(words.said.added(rackName(i)));
  },
  "first-rack"() {
    const i = open.draft.racks.findIndex(blankRack);
    if (i < 0) buttonActions["add-rack"]();
    else goToField(`racks.${i}.inner_joint_spacing`);
  },
  "copy-rack"(i) {
    const name = rackName(i);
    if (
      !alter(words.steps.copy, null, (draft) =>
        copyRack(
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
      ?.focus();
    announce(words.said.copied(name), true, UNDO);
  },
  "remove-rack"(i) {
    const name = rackName(i);
    if (!alter(words.steps.remove, null, (draft) => reshape(draft, () => removeRack(draft, i)))) return;
    rebuild();
    commit();
    (find(`details.card[data-rack="${Math.max(0, i - 1)}"] summary`) ?? find("[data-do=add-rack]"))?.focus();
    announce(words.said.removed(name), true, UNDO);
  },
  "up-rack": (i) => move(i, -1),
  "down-rack": (i) => move(i, 1),
};

// Readings of the rack shown, as they were before a button set them, and after.
/** @type {{ readings: { path: string, before: Partial<Entry>, after: Entry }[], place: string } | null} */
let setting = null;

/** @type {Actions["setRack"]} */
function setRack(typed, place) {
  const i = open.draft.chosen;
  const plan = toPlan(open.draft);
  Object.assign(plan.racks?.[i] ?? {}, typed);
  const { fields } = asTyped(plan).racks[i];
  const readings = Object.keys(typed).map((name) => {
    const { text, unit, side } = fields[name];
    const path = `racks.${i}.${name}`;
    return { path, before: entry(path) ?? { text: "", unit: "", side: "" }, after: { text, unit, side: side ?? "" } };
  });
  const enterAll = (/** @type {Draft} */ draft) => readings.forEach(({ path, after }) => enter(draft, path, after));
  if (alter(words.bump.step, null, enterAll) === false) return;
  setting = { readings: readings.map((one) => ({ ...one, after: /** @type {Entry} */ (entry(one.path)) })), place };
  commit();
  announce(words.bump.set(place), true, UNDO);
}

/** @type {Actions["wasSet"]} */
function wasSet() {
  const here = `racks.${open.draft.chosen}.`;
  const same = setting?.readings.every(({ path, after }) => path.startsWith(here) && JSON.stringify(entry(path)) === JSON.stringify(after));
  return same && setting ? setting.place : "";
}

/** @type {Actions["putBack"]} */
function putBack() {
  if (!setting) return;
  const { readings } = setting;
  setting = null;
  alter(words.bump.back, null, (draft) => readings.forEach(({ path, before }) => enter(draft, path, before)));
  commit();
}

/**
 * Goes to a part as a tap on its name does.
 * @type {Actions["goToPart"]}
 */
function goToPart(name) {
  row.setTyping(false);
  parts.show(name, { focus: true });
}

/**
 * Goes to what is missing: a measurement by its path, or a part.
 * @type {Actions["goToField"]}
 */
function goToField(path) {
  const [section, rack] = path.split(".");
  const part = partOf(path) ?? "racks";
  goToPart(part);
  if (part === "points" && rack !== undefined) points.ask(path);
  if (section === "racks" && rack !== undefined) form.unfold(Number(rack));
  const field = find(`[data-field="${CSS.escape(path)}"], [data-sides="${CSS.escape(path)}"]`);
  field?.closest("details:not([open])")?.setAttribute("open", "");
  field?.focus();
}

/** What the strip speaks of, in whichever part that is. */
function toReason() {
  const { kind, lacks } = state.shown?.parts.find((state) => state.part === "turning") ?? {};
  if (kind === "missing" && lacks) return goToField(lacks);
  goToPart("turning");
  return turning.toReason();
}

const otherActions = {
  typeText,
  chooseSide,
  changeUnit,
  toggleLimit,
  chooseSpacing,
  chooseTravelBy,
  rackText,
  markRack,
  choose,
  sortBy,
  takeOver,
  rename,
  goToPart,
  goToField,
  nextPoint: points.goOn,
  setRack,
  putBack,
  wasSet,
  reason: toReason,
};

/** Fills `act`. */
export function register() {
  /** @type {Actions} */
  const all = { ...buttonActions, ...otherActions, ...opening.namedActions };
  Object.assign(act, all);
}
