// One field: its words, its text, its unit, its two sides, and what stands beneath.

import { h, hide, put, say } from "./dom.js";
import * as keys from "./keys.js";
import * as limits from "./limits.js";
import { entry, open, parse, readUnits, spec, unitOf } from "../state/plan.js";
import { reveal } from "../parts/parts.js";
import { act, seen, text } from "../state/state.js";
import { words } from "../words.js";

const rows = new Map();
let lastFocus = null;

/** Forgets every field: for another plan. */
export const clear = () => rows.clear();

/** Forgets the fields of racks that are no more, of which there are `left`. */
export function drop(left) {
  for (const path of rows.keys()) if (parse(path).rack >= left && parse(path).rack !== null) rows.delete(path);
}

const id = (path) => `f-${path.replaceAll(".", "-")}`;

/** The field of a path, for the form: the one that is there, or a new one. */
export const field = (path) => (rows.get(path) ?? made(path)).root;

function made(path) {
  const row = spec(path);
  const { choice, label: shown } = row;
  const parts = { path, focused: false, wrong: false };
  parts.problem = h("p", { class: "problem", id: `${id(path)}-problem`, hidden: true });
  parts.under = h("p", { class: "under", id: `${id(path)}-under` });
  const hintText = row.hint ?? "";
  const hintNode = hintText ? h("span", { class: "hint", id: `${id(path)}-hint` }, hintText) : null;
  if (row.sides.length) parts.sides = sides(path, row.sides, shown);
  if (choice) {
    parts.root = h(
      "div",
      { class: "field choice sided", role: "group", "aria-labelledby": `${id(path)}-name`, "aria-describedby": describers(path, hintNode) },
      h("div", { class: "what" }, h("span", { class: "label", id: `${id(path)}-name` }, shown), hintNode),
      parts.sides,
      parts.under,
      parts.problem,
    );
  } else {
    parts.input = h("input", {
      id: id(path),
      "data-field": path,
      type: "text",
      inputmode: "decimal",
      enterkeyhint: "next",
      autocomplete: "off",
      autocapitalize: "off",
      spellcheck: "false",
      maxlength: "64",
      "aria-describedby": describers(path, hintNode),
      oninput: (event) => act.type(path, event.target.value),
    });
    parts.unit =
      row.units.length > 1
        ? h("button", { type: "button", class: "unit", "data-unit": path, onclick: () => act.unit(path) })
        : h("span", { class: "unit" }, row.units[0] ?? "");
    parts.root = h(
      "div",
      { class: parts.sides ? "field sided" : "field" },
      h("label", { class: "what", for: id(path) }, h("span", { class: "label" }, shown), hintNode),
      parts.sides,
      h("div", { class: "box" }, parts.input, parts.unit),
      parts.under,
      parts.problem,
    );
  }
  if (row.section === "limits") limits.dress(parts, shown, () => act.off(path));
  parts.root.dataset.path = path;
  rows.set(path, parts);
  return parts;
}

const describers = (path, hint) => [hint ? `${id(path)}-hint` : "", `${id(path)}-under`, `${id(path)}-problem`].filter(Boolean).join(" ");

function sides(path, names, label) {
  // The group itself takes the focus when Enter leads here: so no further Enter chooses one.
  return h(
    "div",
    { class: "pair sides", role: "group", tabindex: "-1", "data-sides": path, "aria-label": `${label}: ${words.field.side}` },
    names.map((name) =>
      h(
        "button",
        {
          type: "button",
          "data-side": `${path}:${name}`,
          "aria-pressed": "false",
          onclick: (event) => chooseSide(path, name, event.currentTarget),
        },
        name,
      ),
    ),
  );
}

// The first choice of a side walks on: to the number if that is missing, else to the next field.
function chooseSide(path, name, button) {
  const row = rows.get(path);
  const first = unanswered(row);
  // Not every browser gives the focus to a button that is tapped.
  button.focus({ preventScroll: true });
  act.side(path, name);
  if (!first || !row.input) return;
  if (row.input.value === "") row.input.focus();
  else next(row.input);
}

/** The path of the field that holds the focus, or nothing. */
export const focusedPath = () => document.activeElement?.closest?.(".field[data-path]")?.dataset.path ?? null;

/** The side that a field shows, chosen or carried over; empty for none. */
export const sideOf = (path) => rows.get(path)?.sides?.querySelector("[aria-pressed=true]")?.textContent ?? "";

/** Shows in every field what the person put in and what the core makes of it. */
export function paint() {
  const focus = focusedPath();
  const around = `${open.mode}|${readUnits()}`;
  for (const [path, row] of rows) {
    const view = seen(path);
    const held = entry(path);
    // What a row shows follows from this alone; most keys change one row.
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

function paintOne(row, view, focused) {
  const { path } = row;
  const held = entry(path);
  const unit = unitOf(path);
  const carried = !held && ["carried", "default", "found"].includes(view?.status);
  if (row.input) {
    const typed = held?.text ?? "";
    if (row.input.value !== typed) row.input.value = typed;
    row.input.classList.toggle("long", typed.length > 8);
    put(row.input, "placeholder", carried ? `${view.text}` : "");
    row.input.readOnly = open.mode === "friend";
    const shown = carried ? view.unit : unit;
    say(row.unit, shown);
    if (row.unit.localName === "button") {
      const other = spec(path).units.find((u) => u !== shown) ?? shown;
      put(row.unit, "aria-label", words.field.unit(shown, other));
      row.unit.disabled = open.mode === "friend";
    }
  }
  if (row.sides) {
    const side = held?.side || (carried ? view.side : "") || "";
    for (const button of row.sides.children) {
      put(button, "aria-pressed", String(button.dataset.side === `${path}:${side}`));
      button.disabled = open.mode === "friend";
    }
  }
  row.root.classList.toggle("carried", carried);
  const unclear = view?.status === "unclear";
  if (!unclear) row.wrong = false;
  else if (!focused) row.wrong = true;
  say(row.problem, row.wrong ? view.problem : "");
  hide(row.problem, !row.wrong);
  if (row.input) put(row.input, "aria-invalid", row.wrong ? "true" : null);
  row.root.classList.toggle("wrong", row.wrong);
  // A number without its side says so while it is typed: calmly, as a question.
  const asks = Boolean(focused && unclear && !row.wrong && row.input && unanswered(row) && said(row.input.value));
  row.root.classList.toggle("asks", asks);
  say(row.under, asks ? words.field.which(...spec(path).sides) : beneath(view, held, carried, unclear));
  if (row.off) limits.paint(row, view, open.mode === "friend");
}

function beneath(view, held, carried, unclear) {
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

/** Puts the keys directly beneath a field that takes a measurement. */
export function showKeys(path) {
  const row = rows.get(path);
  if (!row?.input || row.input.readOnly || path.startsWith("limits.")) return hideKeys();
  const { name, units } = spec(path);
  keys.show(
    row,
    ["in", "ft"].includes(unitOf(path)) ? (LONG.test(name) ? "feet" : "inch") : units.includes("deg") ? "angle" : "plain",
    row.root.closest(".either") ?? row.root,
    (text) => act.type(path, text),
  );
}

/** Takes the keys away. */
export const hideKeys = () => keys.hide();

// ---- walking on ----

// Is it a number, and not nothing?
const said = (text) => /[1-9]/.test(text);

const unanswered = (row) => row?.sides && !row.sides.querySelector("[aria-pressed=true]");

/** Moves on to the next thing to fill in after `from`: to its own two sides first, where neither is chosen and the number is not nothing. */
export function next(from) {
  const row = rows.get(from.dataset.field);
  if (unanswered(row) && said(from.value)) return row.sides.focus();
  const stops = [...document.querySelectorAll("[data-field], .choice .sides")].filter(
    (node) => !node.readOnly && !node.closest("details:not([open])") && node.offsetParent !== null,
  );
  const after = stops[stops.indexOf(from) + 1];
  if (!after) return from.blur();
  // The next one may be on another part.
  reveal(after);
  if (after.matches(".sides")) after.focus();
  else {
    after.focus();
    after.select?.();
  }
}
