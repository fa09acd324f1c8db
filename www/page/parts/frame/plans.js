// The plans of this browser: listed, opened, named, copied, removed and brought back; and a link pasted in.

import { Refused, most } from "../../core.js";
import { html, show as render } from "../../widgets/html.js";
import { tell, within } from "../../widgets/note.js";
import * as plan from "../../state/plan.js";
import { open } from "../../state/plan.js";
import { act, nameOf } from "../../state/state.js";
import * as store from "../../state/store.js";
import { words } from "../../words.js";

let naming = null; // the plan whose name is being changed
let renamed = false; // whether it was, since then
let how = ""; // why something could not be done
let problem = ""; // why a link cannot be followed
let promised = null; // whether the browser promised to keep what is stored

const dialog = () => document.getElementById("plans");
const part = (id) => document.getElementById(id);

/** An installed copy keeps plans of its own, and has none yet. */
export const installedAndEmpty = () => installed() && !store.state.trouble && plan.own() === null;

const installed = () => navigator.standalone === true || matchMedia("(display-mode: standalone)").matches;

/** Listens once. */
export function build() {
  paint();
  dialog().setAttribute("aria-labelledby", "plans-title");
  dialog().addEventListener("close", () => {
    naming = null;
  });
  // A tap beside the panel closes it.
  dialog().addEventListener("click", (event) => event.target === dialog() && dialog().close());
  part("plans-open").addEventListener("click", () => show());
}

/** Opens the panel; `at` "paste" puts the focus into the field for a link. */
export function show(at = null) {
  how = "";
  paint();
  dialog().showModal();
  part(at ?? "plans-title").focus();
}

/** Shows what is kept now, while the panel is open. */
export function follow() {
  if (!dialog().open || naming !== null) return;
  how = "";
  paint();
}

const close = () => dialog().close();

// Done: what could not be done before is said no longer.
function done() {
  how = "";
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
      <p class="sub" id="plans-how">${how || kept}</p>
      <ul class="plans-list" id="plans-list">${all.map(({ id, held }) => (plan.readable(held) ? row(id, held) : broken(id)))}</ul>
      <button type="button" class="strong wide" id="plans-new" @click=${begin}>${words.plans.fresh}</button>
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
            @input=${() => complain("")}
            @keydown=${(event) => onEnter(event, paste)}
          />
          <button type="button" class="quiet" id="paste-go" @click=${paste}>${words.plans.go}</button>
        </div>
        <p class="problem" id="paste-problem" role="status">${problem}</p>
      </div>
      <div id="plans-gone">
        ${gone.length ? html`<h3>${words.plans.gone}</h3><ul class="plans-list">${gone.map(away)}</ul>` : null}
      </div>
    `,
    dialog(),
  );
}

function begin() {
  close();
  act.start();
}

function complain(why) {
  problem = why;
  paint();
}

function paste() {
  complain(act.followLink(part("paste").value));
  if (problem) return part("paste").focus();
  part("paste").value = "";
  return close();
}

// Else the same key would press the button that gets the focus.
function onEnter(event, run) {
  if (event.key !== "Enter") return;
  event.preventDefault();
  run();
}

const deed = (id, what, label, name, run) => html`
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

const focus = (id, what) => (document.querySelector(`#plans [data-focus="${CSS.escape(`${what}-${id}`)}"]`) ?? part("plans-title")).focus();

// ---- one plan ----

function row(id, held) {
  const name = nameOf(held.plan);
  return html`
    <li data-plan=${id}>
      ${naming === id ? field(id, held) : head(id, held, name)}
      <div class="buttons">
        ${
          naming === id
            ? deed(id, "done", words.plans.done, name, () => named(id))
            : deed(id, "rename", words.plans.rename, name, () => rename(id))
        }
        ${deed(id, "copy", words.do.copy, name, () => copy(id, name))}
        ${deed(id, "remove", words.do.remove, name, () => remove(id, name))}
      </div>
    </li>
  `;
}

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

function field(id, held) {
  return html`
    <input
      id="plan-renamed"
      type="text"
      dir="auto"
      autocomplete="off"
      spellcheck="false"
      enterkeyhint="done"
      aria-label=${words.plans.newName(nameOf(held.plan))}
      .value=${held.plan.name ?? ""}
      @input=${({ target }) => type(id, held, within(target, most.name))}
      @keydown=${(event) => onEnter(event, () => named(id))}
    />
  `;
}

function rename(id) {
  naming = id;
  renamed = false;
  done();
  part("plan-renamed").focus();
  part("plan-renamed").select();
}

function type(id, held, name) {
  if (open.mode === "own" && open.id === id) act.rename(name);
  else attempt(() => plan.renamePlan(words.steps.name, store.record(id) ?? held, name, !renamed));
  renamed = true;
}

function named(id) {
  naming = null;
  done();
  focus(id, "rename");
}

function copy(id, name) {
  const taken = () =>
    store
      .list()
      .filter((one) => one.held)
      .map((one) => nameOf(one.held.plan));
  const made = attempt(() => plan.copyPlan(words.steps.copyPlan, store.record(id), words.plan.copy(name, taken())));
  if (!made) return;
  done();
  tell(words.plans.said.copied(name));
  focus(made, "open");
}

function remove(id, name) {
  if (!attempt(() => store.remove(id))) return;
  act.removed(id);
  done();
  tell(words.plans.said.removed(name));
  focus(id, "back");
}

// What it gives; where there was no room for it, or the core refuses it, that is said and nothing comes of it.
function attempt(run) {
  let why = words.plans.said.noRoom;
  try {
    const made = run();
    if (made) return made;
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    why = error.message;
  }
  how = why;
  paint();
  tell(why);
  return null;
}

function broken(id) {
  const earlier = () => {
    if (act.earlier(id)) return close();
    how = words.plans.said.noEarlier;
    return paint();
  };
  const drop = () => {
    store.forget(id);
    act.removed(id);
    done();
    part("plans-title").focus();
  };
  return html`
    <li data-plan=${id} class="broken">
      <p>${words.plans.broken}</p>
      <textarea readonly rows="3" aria-label=${words.plans.itsText} .value=${store.raw(id) ?? ""}></textarea>
      <div class="buttons">
        ${deed(id, "earlier", words.plans.earlier, id, earlier)}${deed(id, "remove", words.plans.dropBroken, id, drop)}
      </div>
    </li>
  `;
}

// ---- one that was removed ----

function away({ id, plan: held }) {
  const name = nameOf(held);
  const back = () => {
    if (!store.bringBack(id)) return tell(words.bar[store.state.trouble] ?? words.bar.refused);
    done();
    tell(words.plans.said.back(name));
    return focus(id, "open");
  };
  const drop = () => {
    store.forget(id);
    done();
    tell(words.plans.said.forGood(name));
    part("plans-title").focus();
  };
  return html`
    <li data-gone=${id}>
      <span class="plan-name">${name}</span>
      <div class="buttons">
        ${deed(id, "back", words.plans.back, name, back)}${deed(id, "for-good", words.plans.forGood, name, drop)}
      </div>
    </li>
  `;
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
