// The plans of this browser: listed, opened, named, copied, removed and brought back; and a link pasted in.

import { byId, find } from "../../widgets/dom.js";
import { Refused, most } from "../../core.js";
import { html, renderKeepingFocus as render } from "../../widgets/html.js";
import { announce, limitLength } from "../../widgets/note.js";
import { open } from "../../state/plan.js";
import { copyPlan, own, readable, renamePlan } from "../../state/record.js";
import { act, planName } from "../../state/state.js";
import * as store from "../../state/store.js";
import { words } from "../../words.js";

/** @import { Kept } from "../../../types/page" */

/** @type {string | null} */
let naming = null; // the plan whose name is being changed
let renamed = false; // whether it has been changed since
let failure = ""; // why something could not be done
let problem = ""; // why a link cannot be followed
/** @type {boolean | null} */
let promised = null; // whether the browser promised to keep what is stored

const dialog = () => byId("plans", HTMLDialogElement);

/** An installed copy keeps plans of its own, and has none yet. */
export const installedAndEmpty = () => installed() && !store.state.trouble && own() === null;

const installed = () => ("standalone" in navigator && navigator.standalone === true) || matchMedia("(display-mode: standalone)").matches;

/** Listens once. */
export function build() {
  paint();
  dialog().setAttribute("aria-labelledby", "plans-title");
  dialog().addEventListener("close", () => {
    naming = null;
  });
  // A tap beside the panel closes it.
  dialog().addEventListener("click", (event) => event.target === dialog() && dialog().close());
  byId("plans-open").addEventListener("click", () => show());
}

/**
 * Opens the panel; `at` "paste" puts the focus into the field for a link.
 * @type {(at?: string | null) => void}
 */
export function show(at = null) {
  failure = "";
  paint();
  dialog().showModal();
  byId(at ?? "plans-title").focus();
}

/** Shows what is kept now, while the panel is open. */
export function follow() {
  if (!dialog().open || naming !== null) return;
  failure = "";
  paint();
}

const close = () => dialog().close();

// Shows the list anew, without the last failure.
function repaint() {
  failure = "";
  paint();
}

function paint() {
  const all = store.list();
  const gone = store.gone();
  const kept = store.state.trouble
    ? words.bar[store.state.trouble]
    : all.length
      ? words.plans[promised ? "promised" : "kept"]
      : words.plans.none;
  render(
    html`
      <div class="plans-head">
        <h2 id="plans-title" tabindex="-1">${words.plans.title}</h2>
        <button type="button" class="quiet" id="plans-close" @click=${close}>${words.do.close}</button>
      </div>
      <p class="sub" id="plans-how">${failure || kept}</p>
      <ul class="plans-list" id="plans-list">${all.map(({ id, held }) => (held && readable(held) ? row(id, held) : brokenRow(id)))}</ul>
      <button type="button" class="strong wide" id="plans-new" @click=${startNew}>${words.plans.fresh}</button>
      <div class="paste">
        <label for="paste">${words.plans.paste}</label>
        <div class="row">
          <input
            id="paste"
            type="url"
            inputmode="url"
            autocomplete="off"
            autocapitalize="off"
            spellcheck="false"
            enterkeyhint="go"
            aria-describedby="paste-problem"
            @input=${() => showProblem("")}
            @keydown=${(/** @type {KeyboardEvent} */ event) => onEnter(event, paste)}
          />
          <button type="button" class="quiet" id="paste-go" @click=${paste}>${words.plans.go}</button>
        </div>
        <p class="problem" id="paste-problem" role="status">${problem}</p>
      </div>
      <div id="plans-gone">
        ${gone.length ? html`<h3>${words.plans.gone}</h3><ul class="plans-list">${gone.map(removedRow)}</ul>` : null}
      </div>
    `,
    dialog(),
  );
}

function startNew() {
  close();
  act.start();
}

/** @type {(why: string) => void} */
function showProblem(why) {
  problem = why;
  paint();
}

function paste() {
  const field = byId("paste", HTMLInputElement);
  showProblem(act.followLink(field.value));
  if (problem) return field.focus();
  field.value = "";
  return close();
}

// Without `preventDefault` the same key press would activate the button that gets the focus.
/** @type {(event: KeyboardEvent, run: () => void) => void} */
function onEnter(event, run) {
  if (event.key !== "Enter") return;
  event.preventDefault();
  run();
}

/** @type {(id: string, what: string, label: string, name: string, run: () => void) => unknown} */
const planButton = (id, what, label, name, run) => html`
  <button
    type="button"
    class="quiet"
    data-plan-do=${what}
    data-focus=${`${what}-${id}`}
    aria-label=${`${label}: ${name}`}
    @click=${run}
  >
    ${label}
  </button>
`;

/** @type {(id: string, what: string) => void} */
const focus = (id, what) => (find(`#plans [data-focus="${CSS.escape(`${what}-${id}`)}"]`) ?? byId("plans-title")).focus();

// ---- one plan ----

/** @type {(id: string, held: Kept) => unknown} */
function row(id, held) {
  const name = planName(held.plan);
  return html`
    <li data-plan=${id}>
      ${naming === id ? field(id, held) : head(id, held, name)}
      <div class="buttons">
        ${
          naming === id
            ? planButton(id, "done", words.plans.done, name, () => finishNaming(id))
            : planButton(id, "rename", words.plans.rename, name, () => rename(id))
        }
        ${planButton(id, "copy", words.do.copy, name, () => copy(id, held, name))}
        ${planButton(id, "remove", words.do.remove, name, () => remove(id, name))}
      </div>
    </li>
  `;
}

/** @type {(id: string, held: Kept, name: string) => unknown} */
function head(id, held, name) {
  const current = open.mode === "own" && open.id === id;
  const run = () => {
    close();
    act.open(id);
  };
  return html`
    <button
      type="button"
      class="plan-head"
      data-plan-do="open"
      data-focus=${`open-${id}`}
      aria-current=${current ? "true" : null}
      @click=${run}
    >
      <span class="plan-name">${name}</span>
      <span class="sub">${words.plans.about((held.plan.racks ?? []).length, when(held.when))}</span>
      ${current ? html`<span class="tag">${words.plans.open}</span>` : null}
    </button>
  `;
}

/** @type {(id: string, held: Kept) => unknown} */
function field(id, held) {
  return html`
    <input
      id="plan-renamed"
      type="text"
      dir="auto"
      autocomplete="off"
      spellcheck="false"
      enterkeyhint="done"
      aria-label=${words.plans.newName(planName(held.plan))}
      .value=${held.plan.name ?? ""}
      @input=${() => typeName(id, held, limitLength(byId("plan-renamed", HTMLInputElement), most.name))}
      @keydown=${(/** @type {KeyboardEvent} */ event) => onEnter(event, () => finishNaming(id))}
    />
  `;
}

/** @type {(id: string) => void} */
function rename(id) {
  naming = id;
  renamed = false;
  repaint();
  const field = byId("plan-renamed", HTMLInputElement);
  field.focus();
  field.select();
}

/** @type {(id: string, held: Kept, name: string) => void} */
function typeName(id, held, name) {
  if (open.mode === "own" && open.id === id) act.rename(name);
  else attempt(() => renamePlan(words.steps.name, store.record(id) ?? held, name, !renamed));
  renamed = true;
}

/** @type {(id: string) => void} */
function finishNaming(id) {
  naming = null;
  repaint();
  focus(id, "rename");
}

/** @type {(id: string, held: Kept, name: string) => void} */
function copy(id, held, name) {
  const taken = () => store.list().flatMap((one) => (one.held ? [planName(one.held.plan)] : []));
  const made = attempt(() => copyPlan(words.steps.copyPlan, store.record(id) ?? held, words.plan.copy(name, taken())));
  if (!made) return;
  repaint();
  announce(words.plans.said.copied(name));
  focus(made, "open");
}

/** @type {(id: string, name: string) => void} */
function remove(id, name) {
  if (!attempt(() => store.remove(id))) return;
  act.removed(id);
  repaint();
  announce(words.plans.said.removed(name));
  focus(id, "back");
}

// Runs it and returns its result; `null`, and the reason shown, where there was no room or the core refused it.
/**
 * @template T
 * @param {() => T} run
 * @returns {T | null}
 */
function attempt(run) {
  let why = words.plans.said.noRoom;
  try {
    const made = run();
    if (made) return made;
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    why = error.message;
  }
  failure = why;
  paint();
  announce(why);
  return null;
}

/** @type {(id: string) => unknown} */
function brokenRow(id) {
  const earlier = () => {
    if (act.earlier(id)) return close();
    failure = words.plans.said.noEarlier;
    return paint();
  };
  const drop = () => {
    store.forget(id);
    act.removed(id);
    repaint();
    byId("plans-title").focus();
  };
  return html`
    <li data-plan=${id} class="broken">
      <p>${words.plans.broken}</p>
      <textarea readonly rows="3" aria-label=${words.plans.itsText} .value=${store.raw(id) ?? ""}></textarea>
      <div class="buttons">
        ${planButton(id, "earlier", words.plans.earlier, id, earlier)}${planButton(id, "remove", words.plans.dropBroken, id, drop)}
      </div>
    </li>
  `;
}

// ---- one that was removed ----

/** @type {(removed: Kept) => unknown} */
function removedRow({ id, plan: held }) {
  const name = planName(held);
  const back = () => {
    if (!store.bringBack(id)) return announce(words.bar[store.state.trouble || "refused"]);
    repaint();
    announce(words.plans.said.back(name));
    return focus(id, "open");
  };
  const drop = () => {
    store.forget(id);
    repaint();
    announce(words.plans.said.forGood(name));
    byId("plans-title").focus();
  };
  return html`
    <li data-gone=${id}>
      <span class="plan-name">${name}</span>
      <div class="buttons">
        ${planButton(id, "back", words.plans.back, name, back)}${planButton(id, "for-good", words.plans.forGood, name, drop)}
      </div>
    </li>
  `;
}

/** @type {(time: number | undefined) => string} */
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
