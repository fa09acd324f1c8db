// Input fields: label, text, unit, two sides, and the line beneath.

import { closest, findAll, h, setHidden, updateAttribute, setText } from "./dom.js";
import * as keys from "./keys.js";
import * as limits from "./limits.js";
import { fieldOf, parse } from "../state/draft.js";
import { entry, open } from "../state/plan.js";
import { readUnits, unitOf } from "../state/units.js";
import { reveal } from "../parts/parts.js";
import { act, fieldView, text } from "../state/state.js";
import { words } from "../words.js";

/** @import { FieldView } from "../../types/core" */
/** @import { Entry, FieldParts } from "../../types/page" */

/** @type {Map<string, FieldParts>} */
const rows = new Map();
/** @type {string | null} */
let lastFocus = null;

/** Forgets every field: for another plan. */
export const clear = () => rows.clear();

/**
 * Forgets the fields of racks that are no more, of which there are `left`.
 * @type {(left: number) => void}
 */
export function dropRacks(left) {
  for (const path of rows.keys()) if ((parse(path).rack ?? -1) >= left) rows.delete(path);
}

/** @type {(path: string) => string} */
const id = (path) => `f-${path.replaceAll(".", "-")}`;

/**
 * The field of a path, for the form: the one that is there, or a new one.
 * @type {(path: string) => HTMLElement}
 */
export const field = (path) => (rows.get(path) ?? makeField(path)).root;

/** @type {(path: string) => FieldParts} */
function makeField(path) {
  const row = fieldOf(path);
  const { choice, label: shown } = row;
  const problem = h("p", { class: "problem", id: `${id(path)}-problem`, hidden: true });
  const under = h("p", { class: "under", id: `${id(path)}-under` });
  const hint = row.hint ? h("span", { class: "hint", id: `${id(path)}-hint` }, row.hint) : null;
  const pair = row.sides.length ? sides(path, row.sides, shown) : undefined;
  /** @type {FieldParts} */
  let parts;
  if (choice) {
    const root = h(
      "div",
      { class: "field choice sided", role: "group", "aria-labelledby": `${id(path)}-name`, "aria-describedby": describers(path, hint) },
      h("div", { class: "what" }, h("span", { class: "label", id: `${id(path)}-name` }, shown), hint),
      pair,
      under,
      problem,
    );
    parts = { path, root, sides: pair, under, problem, wrong: false };
  } else {
    const input = h("input", {
      id: id(path),
      "data-field": path,
      type: "text",
      inputmode: "decimal",
      enterkeyhint: "next",
      autocomplete: "off",
      autocapitalize: "off",
      spellcheck: "false",
      maxlength: "64",
      "aria-describedby": describers(path, hint),
      oninput: () => act.typeText(path, input.value),
    });
    const unit =
      row.units.length > 1
        ? h("button", { type: "button", class: "unit", "data-unit": path, onclick: () => act.changeUnit(path) })
        : h("span", { class: "unit" }, row.units[0] ?? "");
    const root = h(
      "div",
      { class: pair ? "field sided" : "field" },
      h("label", { class: "what", for: id(path) }, h("span", { class: "label" }, shown), hint),
      pair,
      h("div", { class: "box" }, input, unit),
      under,
      problem,
    );
    parts = { path, root, input, unit, sides: pair, under, problem, wrong: false };
  }
  if (row.section === "limits") limits.addLimit(parts, shown, () => act.toggleLimit(path));
  parts.root.dataset.path = path;
  rows.set(path, parts);
  return parts;
}

/** @type {(path: string, hint: Element | null) => string} */
const describers = (path, hint) => [hint ? `${id(path)}-hint` : "", `${id(path)}-under`, `${id(path)}-problem`].filter(Boolean).join(" ");

/** @type {(path: string, names: string[], label: string) => HTMLElement} */
function sides(path, names, label) {
  // Enter moves the focus to the group, not to a button, so that a second Enter chooses nothing.
  return h(
    "div",
    { class: "pair sides", role: "group", tabindex: "-1", "data-sides": path, "aria-label": `${label}: ${words.field.side}` },
    names.map((name) => {
      const onclick = () => chooseSide(path, name, button);
      const button = h("button", { type: "button", "data-side": `${path}:${name}`, "aria-pressed": "false", onclick }, name);
      return button;
    }),
  );
}

// The first choice of a side moves the focus on: to the number if that is missing, else to the next field.
/** @type {(path: string, name: string, button: HTMLElement) => void} */
function chooseSide(path, name, button) {
  const row = rows.get(path);
  const first = row && lacksSide(row);
  // Some browsers do not focus a button that is tapped.
  button.focus({ preventScroll: true });
  act.chooseSide(path, name);
  if (!first || !row.input) return;
  if (row.input.value === "") row.input.focus();
  else focusNext(row.input);
}

/**
 * The path of the field that holds the focus, or nothing.
 * @type {() => string | null}
 */
export const focusedPath = () => closest(document.activeElement, ".field[data-path]")?.dataset.path ?? null;

/**
 * The side that a field shows, chosen or carried over; empty for none.
 * @type {(path: string) => string}
 */
export const sideOf = (path) => rows.get(path)?.sides?.querySelector("[aria-pressed=true]")?.textContent ?? "";

/** Shows in every field what the person put in and what the core makes of it. */
export function paint() {
  const focus = focusedPath();
  const around = `${open.mode}|${readUnits()}`;
  for (const [path, row] of rows) {
    const view = fieldView(path);
    const held = entry(path);
    // All that a field shows depends on these; most keystrokes change one field.
    const key = [
      around,
      unitOf(path),
      row.wrong,
      ...(held ? [held.text, held.side] : ["", "-"]),
      ...(view ? [view.status, view.text, view.unit, view.side, view.problem, view.other, view.pm.mm, view.from, view.note] : []),
    ].join("\n");
    if (row.key === key && path !== focus && path !== lastFocus) continue;
    row.key = key;
    paintOne(row, view, path === focus);
  }
  lastFocus = focus;
}

/** @type {(row: FieldParts, view: FieldView | undefined, focused: boolean) => void} */
function paintOne(row, view, focused) {
  const { path } = row;
  const held = entry(path);
  const unit = unitOf(path);
  const carried = !held && view !== undefined && ["carried", "default", "found"].includes(view.status);
  if (row.input) {
    const typed = held?.text ?? "";
    if (row.input.value !== typed) row.input.value = typed;
    row.input.classList.toggle("long", typed.length > 8);
    updateAttribute(row.input, "placeholder", carried ? `${view.text}` : "");
    row.input.readOnly = open.mode === "friend";
    const shown = carried ? view.unit : unit;
    if (row.unit) setText(row.unit, shown);
    if (row.unit instanceof HTMLButtonElement) {
      const other = fieldOf(path).units.find((u) => u !== shown) ?? shown;
      updateAttribute(row.unit, "aria-label", words.field.unit(shown, other));
      row.unit.disabled = open.mode === "friend";
    }
  }
  if (row.sides) {
    const side = held?.side || (carried ? view.side : "") || "";
    for (const button of findAll("button", row.sides, HTMLButtonElement)) {
      updateAttribute(button, "aria-pressed", String(button.dataset.side === `${path}:${side}`));
      button.disabled = open.mode === "friend";
    }
  }
  row.root.classList.toggle("carried", carried);
  const unclear = view?.status === "unclear";
  if (!unclear) row.wrong = false;
  else if (!focused) row.wrong = true;
  setText(row.problem, row.wrong && view ? view.problem : "");
  setHidden(row.problem, !row.wrong);
  if (row.input) updateAttribute(row.input, "aria-invalid", row.wrong ? "true" : null);
  row.root.classList.toggle("wrong", row.wrong);
  // While a number without its side is typed, the side is asked for; it is not marked as wrong yet.
  const asks = Boolean(focused && unclear && !row.wrong && row.input && lacksSide(row) && isNonzero(row.input.value));
  row.root.classList.toggle("asks", asks);
  setText(row.under, asks ? words.field.which(fieldOf(path).sides[0], fieldOf(path).sides[1]) : textBeneath(view, held, carried, unclear));
  if (row.limit) limits.paint(row.root, row.limit, view, open.mode === "friend");
}

/** @type {(view: FieldView | undefined, held: Entry | null, carried: boolean, unclear: boolean) => string} */
function textBeneath(view, held, carried, unclear) {
  if (!view || unclear) return "";
  const parts = [];
  if (carried) parts.push({ default: words.field.usual, found: words.field.found }[view.status] ?? words.field.carried(view.from));
  if (view.status === "ok" || carried) {
    if (view.other) parts.push(words.field.equals(view.other));
    if (view.pm && text(view.pm)) parts.push(text(view.pm));
  }
  if (view.note) parts.push(view.note);
  return parts.join(" · ");
}

// ---- the keys beneath ----

// Lengths that one says in feet and inches.
const LONG = /wheelbase|track|spacing|corner/;

/**
 * Puts the keys directly beneath a field that takes a measurement.
 * @type {(path: string) => void}
 */
export function showKeys(path) {
  const row = rows.get(path);
  const input = row?.input;
  if (!input || input.readOnly || path.startsWith("limits.")) return hideKeys();
  const { name, units } = fieldOf(path);
  keys.show(
    { ...row, input },
    ["in", "ft"].includes(unitOf(path)) ? (LONG.test(name) ? "feet" : "inch") : units.includes("deg") ? "angle" : "plain",
    closest(row.root, ".either") ?? row.root,
    (text) => act.typeText(path, text),
  );
}

/** Takes the keys away. */
export const hideKeys = () => keys.hide();

// ---- focus of the next field ----

// Whether a text holds a digit other than 0.
/** @type {(text: string) => boolean} */
const isNonzero = (text) => /[1-9]/.test(text);

/** @type {(row: FieldParts) => boolean} */
const lacksSide = ({ sides }) => sides !== undefined && !sides.querySelector("[aria-pressed=true]");

/**
 * Focuses what is to be filled in after `from`: its own two sides first, where neither is chosen and the number is not zero.
 * @type {(from: HTMLInputElement) => void}
 */
export function focusNext(from) {
  const row = rows.get(from.dataset.field ?? "");
  if (row?.sides && lacksSide(row) && isNonzero(from.value)) return row.sides.focus();
  if (from.closest(".one-at-a-time")) return act.nextPoint();
  // The suspension's numbers are asked for by themselves.
  const within = (/** @type {Element} */ node) => node.closest("[data-part=points]");
  const stops = findAll("[data-field], .choice .sides").filter(
    (node) =>
      within(node) === within(from) &&
      !node.closest(".one-at-a-time") &&
      !("readOnly" in node && node.readOnly) &&
      !node.closest("details:not([open])") &&
      node.offsetParent !== null,
  );
  const after = stops[stops.indexOf(from) + 1];
  if (!after) return from.blur();
  // The next one may be on another part.
  reveal(after);
  after.focus();
  if (after instanceof HTMLInputElement || after instanceof HTMLTextAreaElement) after.select();
}
