// Start, and what follows from every key and every button.

import { Refused, evaluate, evaluateFirst, inUnit, load, most, readPlan } from "./core.js";
import * as charts from "./parts/turning/charts.js";
import * as compare from "./parts/side.js";
import * as diff from "./diff.js";
import { h, hide, put, say } from "./widgets/dom.js";
import * as fields from "./widgets/fields.js";
import * as form from "./parts/form.js";
import * as note from "./widgets/note.js";
import * as offline from "./offline.js";
import * as parts from "./parts/parts.js";
import * as row from "./parts/row.js";
import { migrate } from "./past.js";
import * as place from "./place.js";
import * as plan from "./plan.js";
import { open } from "./plan.js";
import { held, reach, released, steady, watch } from "./widgets/reach.js";
import * as sharing from "./share.js";
import * as plans from "./plans.js";
import * as store from "./store.js";
import * as strip from "./parts/strip.js";
import * as tabs from "./tabs.js";
import * as tape from "./widgets/tape/panel.js";
import { centre } from "./widgets/tape/rack.js";
import * as turning from "./parts/turning/turning.js";
import { words } from "./words.js";
import * as yard from "./parts/yard.js";

const part = (id) => document.getElementById(id);
/** A text of the core in this person's units. */
const text = (both) => (both ? both[plan.readUnits()] : "");

let view = null; // of the plan as it stands
let shown = null; // what the figures show: the same, or the last good one while a field is half typed
let shownPlan = null;
let trouble = "";
let relief = ""; // that a stopped core was replaced, until something else is done
let broken = 0; // how many plans kept here cannot be read
let damaged = ""; // why the link in the address cannot be read; the address stays as it is as long as this says something
let earlier = ""; // that a plan stands as it was a step back, for its record could not be read
let spoken = "";
let ready = false; // whether the page has started
let example = null;
// The entry of the focused field that last made sense.
const good = { path: null, entry: null };

// ---- working out and showing ----

const viewOf = (seen, path) => {
  const { section, rack, name } = plan.parse(path);
  return section === "rack" ? seen?.racks[rack]?.fields[name] : seen?.[section]?.[name];
};

/** Works everything out and shows it; while somebody is typing, the racks that are not shown and what is out of sight follow in a pause. */
function refresh(typing = false) {
  const json = plan.toPlan(open.draft);
  try {
    const work = (one) => (typing ? evaluateFirst(one, view) : evaluate(one));
    view = work(json);
    trouble = "";
    shown = view;
    shownPlan = json;
    let old = false;
    const path = fields.focusedPath();
    if (path && plan.spec(path)) {
      const now = plan.entry(path);
      const status = viewOf(view, path)?.status;
      const half = status === "unclear" || (!now?.text && !plan.spec(path).choice);
      if (!half) Object.assign(good, { path, entry: now && { ...now } });
      else if (good.path === path && good.entry?.text) {
        shownPlan = plan.toPlan(withEntry(path, good.entry));
        shown = work(shownPlan);
        old = true;
      }
    }
    document.body.classList.toggle("old", old);
    hide(part("old"), !old);
    sharing.follow();
  } catch (error) {
    trouble = error instanceof Refused ? words.bar.cannot(error.message) : words.bar.stopped;
  }
  steady(held(), () => paint(typing));
}

function withEntry(path, entry) {
  const { section, rack, name } = plan.parse(path);
  if (section !== "rack") return { ...open.draft, [section]: { ...open.draft[section], [name]: entry } };
  return { ...open.draft, racks: open.draft.racks.map((r, i) => (i === rack ? { ...r, entries: { ...r.entries, [name]: entry } } : r)) };
}

function paint(typing = false) {
  bar();
  diff.paint({ take, look: lookAtTheirs, away: putAway });
  if (!view) return;
  fields.paint((path) => viewOf(view, path), text);
  tape.follow();
  form.paintHeads(shown, text);
  yard.paint(shown, shownPlan, text);
  strip.paint(shown, text, document.body.classList.contains("old"));
  row.paint(shown, text);
  thumb();
  for (const id of Object.keys(answers)) {
    if (typing && outOfSight(id)) postpone(id);
    else answer(id);
  }
  if (view.pending) postpone("compare");
}

/** The long answers, by the section they stand in. */
const answers = { compare: () => compare.paint(shown, text, { choose, sort }), "turn-round": paintTurning };
const outOfSight = (id) => away.has(id) || part(id).hidden;
const PAUSE = 100; // ms without a key, until those out of sight follow
const away = new Set(); // those that are out of sight, and not nearly in it
const behind = new Set(); // those that have yet to follow what was typed
let pause = null;

function watchAnswers() {
  const sight = new IntersectionObserver(
    (seen) => {
      for (const { target, isIntersecting } of seen) {
        if (isIntersecting) away.delete(target.id);
        else away.add(target.id);
      }
      if (behind.size) catchUp();
    },
    { rootMargin: "400px" },
  );
  for (const id of Object.keys(answers)) sight.observe(part(id));
}

function postpone(id) {
  behind.add(id);
  put(part(id), "aria-busy", "true");
  clearTimeout(pause);
  pause = setTimeout(catchUp, PAUSE);
}

const catchUp = () => behind.size && (view?.pending ? refresh() : steady(held(), () => behind.forEach(answer)));

function answer(id) {
  behind.delete(id);
  put(part(id), "aria-busy", null);
  answers[id]();
}

function paintTurning() {
  try {
    turning.paint(shown, shownPlan, text, { choose });
  } catch (error) {
    trouble = error instanceof Refused ? words.bar.cannot(error.message) : words.bar.stopped;
    bar();
  }
}

/** A field was left or a button pressed: the address follows, the verdict is announced if it changed. */
function commit() {
  plan.settle();
  relief = "";
  good.path = null;
  refresh();
  follow();
  const verdict = view?.racks[open.draft.chosen]?.verdict;
  const sentence = verdict
    ? words.said.verdict(form.rackName(open.draft.chosen), text(verdict.kind === "needs" ? verdict.head : verdict.sentence))
    : "";
  if (sentence && sentence !== spoken) tell(sentence);
  spoken = sentence;
}

/** The address follows plan and part, unless it holds a link that cannot be read; so does every link to a part. */
function follow() {
  const at = plan.fragments();
  if (!damaged) plan.follow(at(parts.chosen()));
  row.current(at);
}

// An empty plan's first rack is under the thumb.
function thumb() {
  const empty = open.mode !== "friend" && open.draft.racks.every(blankRack);
  hide(part("first-rack"), !empty || !parts.inFront("racks"));
}

const blankRack = (rack) => !Object.keys(rack.entries).length && !rack.name && !rack.note;

// Another part has come to the front.
function turned() {
  if (!ready) return;
  follow();
  thumb();
  if (view?.pending) refresh();
  else if (behind.size) steady(null, () => behind.forEach((id) => part(id).hidden || answer(id)));
}

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
  const { kind, lacks } = shown?.parts.find((state) => state.part === "turning") ?? {};
  if (kind === "missing" && lacks) return fill(lacks);
  go("turning");
  return turning.toReason();
}

const { tell } = note;
const undoing = { what: "undo", label: words.do.undo };

/** Builds the form anew for another draft, and gives the focus back to the field or button that had it. */
function rebuild() {
  const held = document.activeElement;
  const name = held?.dataset?.field ?? null;
  const focus = held?.closest?.("[data-focus]")?.dataset.focus ?? null;
  fields.hideKeys();
  form.build({ spacing, travelBy, rackText, mark });
  const again = name
    ? document.querySelector(`[data-field="${name}"]`)
    : focus
      ? document.querySelector(`#forms [data-focus="${focus}"]`)
      : null;
  again?.focus({ preventScroll: true });
  part("plan-name").value = open.draft.name;
  part("plan-name").readOnly = open.mode === "friend";
  document.body.classList.toggle("locked", open.mode === "friend");
  const full = plan.isFull() && open.mode !== "friend";
  part("racks-full").hidden = !full;
  for (const button of document.querySelectorAll("[data-do=add-rack]")) button.disabled = full;
}

// ---- the bar beneath the header ----

function bar() {
  const place = part("bar");
  const button = (what, label, strong) => ({ what, label, strong });
  const made = ({ what, label, strong }) =>
    h("button", { type: "button", class: strong ? "strong" : "quiet", "data-do": what, "data-focus": `bar-${what}` }, label);
  const lines = [];
  const buttons = [];
  if (damaged) {
    lines.push(words.bar.damaged(damaged));
    buttons.push(button("drop", words.do.drop, false));
  }
  if (trouble) lines.push(trouble);
  if (relief) lines.push(relief);
  if (store.state.trouble) lines.push(words.bar[store.state.trouble]);
  if (earlier) lines.push(earlier);
  if (broken) lines.push(words.bar.broken(broken));
  const choice = tabs.choice();
  if (choice) {
    lines.push(choice[0]);
    buttons.push(...choice[1]);
  }
  if (view?.unshown) lines.push(view.unshown);
  if (open.mode === "example") {
    if (plans.installedAndEmpty()) {
      lines.push(words.bar.apart);
      buttons.push(button("paste", words.bar.paste));
    }
    lines.push(words.bar.what, words.bar.example);
    buttons.push(
      ...(plan.own() ? [button("mine", words.do.mine, true), button("start", words.do.fresh)] : [button("start", words.do.start, true)]),
    );
  } else if (open.mode === "friend") {
    lines.push(words.bar.friend(plans.nameOf(plan.toPlan(open.draft))));
    buttons.push(button("keep", words.do.keep, true), button("back", words.do.back));
  } else if (!choice) {
    buttons.push(button("undo", words.do.undo), button("example", words.do.example), button("start", words.do.fresh));
  }
  if (!choice) buttons.push(button("share", words.do.share, open.mode === "own"));
  const key = JSON.stringify([lines, buttons, plan.undoable()]);
  if (place.dataset.key === key) return;
  place.dataset.key = key;
  const held = place.contains(document.activeElement) ? document.activeElement.dataset.do : null;
  place.className = `bar ${open.mode}${choice ? " clash" : ""}`;
  place.replaceChildren(
    h(
      "div",
      { class: "in" },
      h(
        "div",
        { class: "lines" },
        lines.map((line) => h("p", {}, line)),
      ),
      h("div", { class: "buttons" }, buttons.map(made)),
    ),
  );
  const undo = place.querySelector("[data-do=undo]");
  if (undo) {
    undo.disabled = plan.undoable() === null;
    if (!undo.disabled) put(undo, "aria-label", `${words.do.undo}: ${plan.undoable()}`);
  }
  if (held) place.querySelector(`[data-do="${held}"]`)?.focus({ preventScroll: true });
}

// ---- what a person does ----

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

// Without room for the last changes the address alone holds them: it follows in a pause, not only when a field is left.
function later() {
  clearTimeout(following);
  following = setTimeout(() => {
    if (!damaged) plan.follow(plan.fragments()(parts.chosen()));
  }, 300);
}
let following = null;

const label = (path) => plan.spec(path)?.label ?? path;

// A carried-over value typed over keeps the side it had, until another is chosen.
function sideFor(path) {
  const seen = viewOf(view, path);
  return plan.entry(path) || seen?.status !== "carried" ? {} : { side: seen.side ?? "" };
}

function type(path, typed) {
  const { rack } = plan.parse(path);
  const unit =
    plan.entry(path)?.unit || viewOf(view, path)?.status === "carried"
      ? plan.entry(path)?.unit || viewOf(view, path).unit
      : plan.unitOf(path);
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
  const seen = viewOf(view, path);
  const carried = !plan.entry(path) && seen?.status === "carried" && !plan.spec(path).choice ? { text: seen.text, unit: seen.unit } : {};
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
  const seen = viewOf(view, path);
  const carried = !plan.entry(path) && seen?.status === "carried";
  const now = carried ? seen.unit : plan.unitOf(path);
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
  form.paintMarks();
  commit();
  tell(words.said.marked(form.rackName(i), now));
}

function choose(i) {
  if (i === open.draft.chosen) return tell(words.said.chosen(form.rackName(i)));
  if (open.mode === "friend" || open.mode === "example") open.draft.chosen = i;
  else
    alter(words.steps.choose, null, (draft) => {
      draft.chosen = i;
    });
  commit();
  return tell(words.said.chosen(form.rackName(i)));
}

function sort(key) {
  const { row, first, on, alike } = compare.sortBy(key, shown);
  paint();
  if (on) tell(`${words.said.sorted(row, first)}${alike ? ` ${words.compare.sortedAlike(alike)}` : ""}`);
}

const deeds = {
  start() {
    plan.takeOver(words.steps.start, plan.blank());
    fresh();
    parts.show("car");
    tell(words.said.fresh);
    document.querySelector("[data-field='car.wheelbase']").focus();
  },
  mine: () => home(),
  back: () => home(),
  drop: () => home(),
  example: () => showExample(),
  keep() {
    plan.takeOver(words.steps.keep, open.draft);
    fresh();
    tell(words.said.kept, true);
  },
  paste: () => plans.show("paste"),
  "tab-theirs": () => settle("theirs"),
  "tab-mine": () => settle("mine"),
  "tab-both": () => settle("both"),
  undo() {
    const beside = document.activeElement?.dataset.note !== undefined;
    const undone = plan.undo();
    if (!undone) return;
    if (undone.example) showExample();
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
    tell(words.said.added(form.rackName(i)));
  },
  "first-rack"() {
    const i = open.draft.racks.findIndex(blankRack);
    if (i < 0) deeds["add-rack"]();
    else fill(`racks.${i}.inner_joint_spacing`);
  },
  "copy-rack"(i) {
    const name = form.rackName(i);
    if (
      !alter(words.steps.copy, null, (draft) =>
        plan.copyRack(
          draft,
          i,
          words.plan.copy(
            name,
            open.draft.racks.map((_, k) => form.rackName(k)),
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
    tell(words.said.copied(name), true);
  },
  "remove-rack"(i) {
    const name = form.rackName(i);
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
  choose: (i) => choose(i),
};

function move(i, by) {
  const name = form.rackName(i);
  if (!alter(words.steps.move, null, (draft) => plan.reshape(draft, () => plan.moveRack(draft, i, by)))) return;
  rebuild();
  commit();
  const button = document.querySelector(`details.card[data-rack="${i + by}"] [data-do="${by < 0 ? "up" : "down"}-rack"]`);
  (button?.disabled ? document.querySelector(`details.card[data-rack="${i + by}"] summary`) : button)?.focus();
  tell(words.said.moved(name));
}

// ---- plans beside this one ----

function settle(way) {
  try {
    if (!plan.settleClash(way, words.steps.tabs, words.tabs.copy(plans.nameOf(plan.toPlan(open.draft))))) return home();
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    return tell(error.message, true);
  }
  rebuild();
  commit();
  return tell(words.tabs.said[way], true, undoing);
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

function lookAtTheirs() {
  plan.openOther("friend", plan.readLink(diff.link()));
  fresh();
}

function putAway() {
  diff.away();
  refresh();
  part("plans-open").focus();
}

/** Follows a pasted link; says why that cannot be done, or nothing. */
function followLink(link) {
  try {
    arrive(link);
    return "";
  } catch (error) {
    if (error instanceof Refused) return error.message;
    throw error;
  }
}

/** A link that came from somewhere: a friend's plan to look at, or one's own that came back. */
function arrive(link) {
  const theirs = plan.readLink(link);
  const { part: named, link: fragment } = parts.split(link.includes("#") ? link.slice(link.indexOf("#") + 1) : link);
  const mine = theirs.id ? store.record(theirs.id) : null;
  if (!mine || !plan.openOwn(theirs.id) || open.id !== theirs.id) {
    plan.openOther("friend", theirs);
    parts.show(named ?? "side");
    return fresh();
  }
  if (named) parts.show(named);
  if (!diff.same(plan.toPlan(open.draft), theirs)) diff.lay(open.id, fragment, theirs);
  fresh();
  if (diff.rows()?.length) tell(words.diff.came(diff.rows().length));
  return undefined;
}

function openPlan(id) {
  if (!plan.openOwn(id)) return showExample();
  fresh();
  whereLeft();
  return tell(words.plans.said.opened(plans.nameOf(plan.toPlan(open.draft))));
}

function openEarlier(id) {
  if (!plan.openEarlier(id)) return false;
  look();
  fresh();
  return true;
}

function removed(id) {
  look();
  if (id === open.id) home();
  else refresh();
}

function rename(name) {
  if (
    alter(words.steps.name, "name", (draft) => {
      draft.name = name;
    }) === false
  )
    return;
  part("plan-name").value = name;
  refresh(true);
}

// ---- which plan is open ----

/** Shows a plan that was not shown before. */
function fresh(why = "") {
  damaged = why ?? "";
  earlier = open.earlier ? words.bar.earlier(open.earlier) : "";
  open.earlier = "";
  diff.again();
  form.foldAll();
  rebuild();
  commit();
}

function showExample(why) {
  plan.openOther("example", example);
  fresh(why);
}

const look = () => {
  broken = store.list().filter((one) => !plan.readable(one.held)).length;
};

/** The own plan, or the example as long as there is none. */
function home(why, id) {
  look();
  if (!plan.openOwn(id)) return showExample(why);
  fresh(why);
  return whereLeft();
}

// An own plan is shown where it was left.
function whereLeft() {
  const held = place.leftParts();
  if (ready && held) parts.show(held.chosen);
}

/** On start, and whenever the address changes: the own plan, a friend's, or the example. */
function begin() {
  const { part: named, link: fragment } = parts.split(location.hash.slice(1));
  const { plan: mine, kept, stamp } = history.state ?? {};
  if (named && !fragment && ready && open.mode !== "friend") return parts.show(named);
  if (!fragment || (mine && (store.record(mine) || store.aside()?.id === mine)))
    return kept === false && fragment ? homeFuller(mine, fragment, stamp) : home("", mine);
  try {
    look();
    return arrive(location.hash);
  } catch (error) {
    // A link that cannot be read leaves the address and the own plan as they are.
    if (error instanceof Refused) return home(error.message);
    throw error;
  }
}

/** The own plan after a start, when there was no room for its last changes: the address holds more of it than its record. */
function homeFuller(id, fragment, stamp) {
  look();
  if (!plan.openOwn(id)) return showExample();
  const beside = open.id === id && !open.clash ? fuller(fragment, stamp) : null;
  if (beside) diff.lay(id, beside.link, beside.plan, beside.kind);
  fresh();
  if (!beside) return;
  // What lies beside stands at the top of the page.
  stayed = false;
  tell(words.diff.titles[beside.kind], true);
}

function fuller(fragment, stamp) {
  try {
    const there = plan.readLink(fragment);
    if (there.id !== open.id || diff.same(plan.toPlan(open.draft), there)) return null;
    return plan.recover(there, stamp, words.steps.address);
  } catch (error) {
    if (error instanceof Refused) return null;
    throw error;
  }
}

// ---- listening ----

function listen() {
  fields.listen({ type, side, unit, off });
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-do]");
    // What is locked says why: a button that is disabled lets a tap through to its field.
    if (open.mode === "friend" && event.target.closest(".box, .sides, .limit, .marks, .texts, #plan-name"))
      tell(words.said.locked, true, { what: "keep", label: words.do.keep });
    if (!button || button.disabled || button.dataset.do === "reason") return;
    deeds[button.dataset.do]?.(button.dataset.rack === undefined ? undefined : Number(button.dataset.rack));
  });
  for (const button of document.querySelectorAll("[data-units]"))
    button.addEventListener("click", () => {
      plan.setUnits(button.dataset.units);
      units();
      commit();
      tell(words.units.switched[button.dataset.units]);
    });
  part("plan-name").addEventListener("input", (event) => rename(note.within(event.target, most.name)));
  tabs.watch((news) => {
    if (news) {
      refresh();
      if (tabs.choice()) tell(tabs.choice()[0]);
    }
    plans.follow();
  });
  plans.build({ tell, follow: followLink, earlier: openEarlier, open: openPlan, fresh: deeds.start, name: rename, removed });
  document.addEventListener("focusin", (event) => {
    const path = event.target.closest(".field[data-path]")?.dataset.path;
    if (!path) return;
    if (good.path !== path) {
      const held = plan.entry(path);
      Object.assign(good, { path, entry: held && viewOf(view, path)?.status === "ok" ? { ...held } : null });
    }
    const field = event.target.closest(".field");
    released(
      () =>
        document.activeElement === event.target &&
        steady(event.target, () => {
          row.typing(row.typed(event.target));
          document.querySelector(".field.on")?.classList.remove("on");
          field.classList.add("on");
          tape.lay(path, field);
          fields.showKeys(path);
          // Drawing and keys are there now: the field is brought to where all of it is seen.
          requestAnimationFrame(reach);
        }),
    );
  });
  document.addEventListener("focusin", ({ target }) => {
    if (!target.closest(".field[data-path]") && row.typed(target) && !target.closest("dialog"))
      released(() => document.activeElement === target && steady(target, () => row.typing(true)));
  });
  document.addEventListener("focusout", (event) => {
    // What comes back at the foot and the top of the page moves nothing from under the finger.
    if (row.typed(event.target))
      queueMicrotask(() =>
        released(() => row.typed(document.activeElement) || (row.isTyping() && steady(nearby(event.target), () => row.typing(false)))),
      );
    const left = event.target.closest(".field[data-path]");
    if (left && left.contains(event.relatedTarget)) return;
    if (left) plan.forgetUnits(open.draft, left.dataset.path);
    // Another program in front is no field left: the focus stays where it is.
    if (left || event.target.matches("[data-field]"))
      queueMicrotask(() => released(() => (document.activeElement === event.target ? plan.settle() : commit())));
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches("input[data-field]")) return;
    event.preventDefault();
    if (event.target.enterKeyHint === "done") event.target.blur();
    else fields.next(event.target);
  });
  window.addEventListener("hashchange", () => {
    // What is told of the link stands at the top of the page.
    document.activeElement?.blur();
    begin();
    scrollTo(0, 0);
  });
}

// Something beside a field that stays where it is while what is above it comes and goes.
const nearby = (field) => (field.isConnected ? field : null);

function units() {
  for (const button of document.querySelectorAll("[data-units]")) {
    put(button, "aria-pressed", String(button.dataset.units === plan.readUnits()));
    say(button, words.units[button.dataset.units]);
  }
}

// The core has come back; the key at which it stopped may not be stored yet.
function again() {
  plan.save();
  refresh();
}

function lost() {
  trouble = words.bar.lost;
  bar();
}

// In a task of its own: what is being done just now would take the sentence away.
function revived() {
  setTimeout(() => {
    relief = words.bar.revived;
    tell(relief);
    bar();
  });
}

/** Puts the page's words into its frame. */
function furnish() {
  for (const place of document.querySelectorAll("[data-word]")) {
    say(
      place,
      place.dataset.word.split(".").reduce((at, key) => at[key], words),
    );
  }
  for (const place of document.querySelectorAll("[data-name]"))
    put(
      place,
      "aria-label",
      place.dataset.name.split(".").reduce((at, key) => at[key], words),
    );
  put(part("plan-name"), "placeholder", words.plan.unnamed);
  part("centre-steps").before(tape.shown(words.rack.centreTitle, [centre()], [])[0]);
  part("centre-steps").append(...words.rack.centre.map((step) => h("li", {}, step)));
}

furnish();
try {
  const [file] = await Promise.all([fetch("example.json").then((answer) => answer.text()), load({ again, lost, revived })]);
  example = readPlan(file);
} catch (error) {
  part("first").remove();
  part("bar").replaceChildren(h("p", { role: "alert", class: "in" }, words.bar.failed));
  throw error;
}
migrate();
strip.build({ reason: toReason });
row.build({ go, fill });
parts.start(turned);
listen();
units();
// Nothing here is asked of the page by a query; one that came with a link goes no further.
if (location.search) history.replaceState(history.state, "", location.pathname + location.hash);
// A plan that came in by a link is shown from its top.
const asked = parts.split(location.hash.slice(1));
let stayed = !asked.link || Boolean(history.state?.plan);
begin();
watch();
part("first").remove();
part("main").hidden = false;
part("parts").hidden = false;
// A part that the address names; else where a friend's link or the example is read, or where the own plan was left.
const before = place.leftParts();
parts.open(asked.part ?? (open.mode === "own" ? before?.chosen : "side"), before ?? {});
ready = true;
follow();
place.restore(stayed);
charts.watch();
watchAnswers();
yard.watch();
document.documentElement.dataset.ready = "yes";
offline.start();
