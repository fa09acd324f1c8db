// The plans of this browser: listed, opened, named, copied, removed and brought back; and a link pasted in.

import { Refused, most } from "./core.js";
import { h, say, swap } from "./widgets/dom.js";
import { within } from "./widgets/note.js";
import * as plan from "./plan.js";
import { open } from "./plan.js";
import * as store from "./store.js";
import { words } from "./words.js";

let act = {};
let naming = null; // the plan whose name is being changed
let promised = null; // whether the browser promised to keep what is stored

const dialog = () => document.getElementById("plans");
const list = () => document.getElementById("plans-list");
/** What a plan is called; one without a name by its car, as typed. */
export function nameOf({ name, car = {}, racks = [] }) {
  if (name) return name;
  const typed = (held) => (typeof held === "number" ? `${held} mm` : held);
  const parts = [
    car.wheelbase && words.plan.wheelbase(typed(car.wheelbase)),
    car.front_track && words.plan.track(typed(car.front_track)),
  ].filter(Boolean);
  return parts.length ? words.plan.byCar([...parts, words.plan.racks(racks.length)]) : words.plan.unnamed;
}

/** An installed copy keeps plans of its own, and has none yet. */
export const installedAndEmpty = () => installed() && !store.state.trouble && plan.own() === null;

const installed = () => navigator.standalone === true || matchMedia("(display-mode: standalone)").matches;

/** Builds the panel once. `actions`: what follows from what is chosen in it. */
export function build(actions) {
  act = actions;
  const paste = h("input", {
    id: "paste",
    type: "url",
    inputmode: "url",
    autocomplete: "off",
    autocapitalize: "off",
    spellcheck: "false",
    enterkeyhint: "go",
    "aria-describedby": "paste-problem",
  });
  const problem = h("p", { class: "problem", id: "paste-problem", role: "status" });
  const follow = () => {
    const why = act.follow(paste.value);
    say(problem, why);
    if (why) return paste.focus();
    paste.value = "";
    return dialog().close();
  };
  paste.addEventListener("input", () => say(problem, ""));
  paste.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    follow();
  });
  const button = (id, text, onclick, kind = "quiet") => h("button", { type: "button", class: kind, id, onclick }, text);
  dialog().append(
    h(
      "div",
      { class: "plans-head" },
      h("h2", { id: "plans-title", tabindex: "-1" }, words.plans.title),
      button("plans-close", words.do.close, () => dialog().close()),
    ),
    h("p", { class: "sub", id: "plans-how" }),
    h("ul", { class: "plans-list", id: "plans-list" }),
    button(
      "plans-new",
      words.plans.fresh,
      () => {
        dialog().close();
        act.fresh();
      },
      "strong wide",
    ),
    h(
      "div",
      { class: "paste" },
      h("label", { for: "paste" }, words.plans.paste),
      h("div", { class: "row" }, paste, button("paste-go", words.plans.go, follow)),
      problem,
    ),
    h("div", { id: "plans-gone" }),
  );
  dialog().setAttribute("aria-labelledby", "plans-title");
  dialog().addEventListener("close", () => {
    naming = null;
  });
  // A tap beside the panel closes it.
  dialog().addEventListener("click", (event) => event.target === dialog() && dialog().close());
  document.getElementById("plans-open").addEventListener("click", () => show());
}

/** Opens the panel; `at` "paste" puts the focus into the field for a link. */
export function show(at = null) {
  paint();
  dialog().showModal();
  document.getElementById(at ?? "plans-title").focus();
}

/** Shows what is kept now, while the panel is open. */
export function follow() {
  if (dialog().open && naming === null) paint();
}

function paint() {
  const all = store.list();
  say(
    document.getElementById("plans-how"),
    store.state.trouble ? words.bar[store.state.trouble] : all.length ? words.plans[promised ? "promised" : "kept"] : words.plans.none,
  );
  swap(
    list(),
    all.map(({ id, held }) => (plan.readable(held) ? row(id, held) : broken(id))),
  );
  const gone = store.gone();
  swap(
    document.getElementById("plans-gone"),
    gone.length
      ? [
          h("h3", {}, words.plans.gone),
          h(
            "ul",
            { class: "plans-list" },
            gone.map((held) =>
              h(
                "li",
                { "data-gone": held.id },
                h("span", { class: "plan-name" }, nameOf(held.plan)),
                h(
                  "div",
                  { class: "buttons" },
                  deed(held.id, "back", words.plans.back, nameOf(held.plan), () => {
                    if (!store.bringBack(held.id)) return act.tell(words.bar[store.state.trouble] ?? words.bar.refused);
                    paint();
                    act.tell(words.plans.said.back(nameOf(held.plan)));
                    return focus(held.id, "open");
                  }),
                  deed(held.id, "for-good", words.plans.forGood, nameOf(held.plan), () => {
                    store.forget(held.id);
                    paint();
                    act.tell(words.plans.said.forGood(nameOf(held.plan)));
                    document.getElementById("plans-title").focus();
                  }),
                ),
              ),
            ),
          ),
        ]
      : [],
  );
}

function deed(id, what, text, name, onclick) {
  return h(
    "button",
    { type: "button", class: "quiet", "data-plan-do": what, "data-focus": `${what}-${id}`, "aria-label": `${text}: ${name}`, onclick },
    text,
  );
}

const focus = (id, what) =>
  (document.querySelector(`#plans [data-focus="${CSS.escape(`${what}-${id}`)}"]`) ?? document.getElementById("plans-title")).focus();

function row(id, held) {
  const name = nameOf(held.plan);
  const current = open.mode === "own" && open.id === id;
  const head = h(
    "button",
    {
      type: "button",
      class: "plan-head",
      "data-plan-do": "open",
      "data-focus": `open-${id}`,
      "aria-current": current ? "true" : null,
      onclick: () => {
        dialog().close();
        act.open(id);
      },
    },
    h("span", { class: "plan-name" }, name),
    h("span", { class: "sub" }, words.plans.about((held.plan.racks ?? []).length, when(held.when))),
    current ? h("span", { class: "tag" }, words.plans.open) : null,
  );
  return h(
    "li",
    { "data-plan": id },
    naming === id ? rename(id, held) : head,
    h(
      "div",
      { class: "buttons" },
      naming === id
        ? deed(id, "done", words.plans.done, name, () => {
            naming = null;
            paint();
            focus(id, "rename");
          })
        : deed(id, "rename", words.plans.rename, name, () => {
            naming = id;
            paint();
            const field = document.getElementById("plan-renamed");
            field.focus();
            field.select();
          }),
      deed(id, "copy", words.do.copy, name, () => {
        const copy = attempt(() =>
          plan.copyPlan(
            words.steps.copyPlan,
            store.record(id),
            words.plan.copy(
              name,
              store
                .list()
                .filter((one) => one.held)
                .map((one) => nameOf(one.held.plan)),
            ),
          ),
        );
        if (!copy) return;
        paint();
        act.tell(words.plans.said.copied(name));
        focus(copy, "open");
      }),
      deed(id, "remove", words.do.remove, name, () => {
        if (!attempt(() => store.remove(id))) return;
        act.removed(id);
        paint();
        act.tell(words.plans.said.removed(name));
        focus(id, "back");
      }),
    ),
  );
}

// What it gives; where there was no room for it, or the core refuses it, that is said and nothing comes of it.
function attempt(deed) {
  let why = words.plans.said.noRoom;
  try {
    const done = deed();
    if (done) return done;
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    why = error.message;
  }
  say(document.getElementById("plans-how"), why);
  act.tell(why);
  return null;
}

function rename(id, held) {
  let first = true;
  const field = h("input", {
    id: "plan-renamed",
    type: "text",
    dir: "auto",
    autocomplete: "off",
    spellcheck: "false",
    enterkeyhint: "done",
    "aria-label": words.plans.newName(nameOf(held.plan)),
  });
  field.value = held.plan.name ?? "";
  field.addEventListener("input", () => {
    const name = within(field, most.name);
    if (open.mode === "own" && open.id === id) act.name(name);
    else attempt(() => plan.renamePlan(words.steps.name, store.record(id) ?? held, name, first));
    first = false;
  });
  field.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    // Else the same key would press the button that gets the focus.
    event.preventDefault();
    naming = null;
    paint();
    focus(id, "rename");
  });
  return field;
}

function broken(id) {
  const text = h("textarea", { readonly: true, rows: "3", "aria-label": words.plans.itsText });
  text.value = store.raw(id) ?? "";
  return h(
    "li",
    { "data-plan": id, class: "broken" },
    h("p", {}, words.plans.broken),
    text,
    h(
      "div",
      { class: "buttons" },
      deed(id, "earlier", words.plans.earlier, id, () => {
        if (!act.earlier(id)) return say(document.getElementById("plans-how"), words.plans.said.noEarlier);
        return dialog().close();
      }),
      deed(id, "remove", words.plans.dropBroken, id, () => {
        store.forget(id);
        act.removed(id);
        paint();
        document.getElementById("plans-title").focus();
      }),
    ),
  );
}

const when = (time) =>
  time ? new Date(time).toLocaleString(undefined, { day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" }) : "";

/** Asks the browser to keep what is stored, once something is worth it: a plan of one's own with some numbers. */
export function worthKeeping() {
  if (promised !== null || open.mode !== "own" || !isSecureContext || !navigator.storage?.persist) return;
  const racks = open.draft.racks.reduce((sum, rack) => sum + Object.keys(rack.entries).length, 0);
  if (Object.keys(open.draft.car).length + racks < 4) return;
  promised = false;
  navigator.storage
    .persisted()
    .then((already) => already || navigator.storage.persist())
    .then(
      (yes) => {
        promised = yes;
      },
      () => {},
    );
}
