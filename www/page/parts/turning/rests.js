// What a figure rests on: asked of the core when its details are open.

import { explain } from "../../core.js";
import { h } from "../../widgets/dom.js";
import { words } from "../../words.js";

let from = null;

/** From what the figures that follow were worked out. */
export function of(plan, rack, text) {
  from = { plan, json: JSON.stringify(plan), rack, text };
}

/** A place for it in a figure's details; filled when they are opened. */
export function place(name, details) {
  const parts = { name, details, list: h("div", { class: "rests-on" }), sides: [], key: "", timer: null };
  details.addEventListener("toggle", () => fill(parts));
  return parts;
}

/** Follows the plan, a moment after it has changed. `sides` are the places of the values that are shown: `[place, name]`. */
export function follow(parts, sides) {
  parts.sides = sides;
  if (!parts.details.open) return;
  clearTimeout(parts.timer);
  parts.timer = setTimeout(() => fill(parts), 150);
}

function fill(parts) {
  const { sides } = parts;
  if (!parts.details.open || !from) return;
  const { plan, json, rack, text } = from;
  const key = JSON.stringify([json, rack, sides, text({ mm: "mm", inch: "inch" })]);
  if (parts.key === key) return;
  parts.key = key;
  const told = sides.map(([side, named]) => [named, explain(plan, rack, parts.name, side)]).filter(([, all]) => all);
  const same = told.length > 1 && JSON.stringify(told[0][1]) === JSON.stringify(told[1][1]);
  parts.list.replaceChildren(
    ...(same ? [["", told[0][1]]] : told).flatMap(([named, { inputs }]) => [
      h("p", {}, `${words.rests.title}${named ? ` (${named})` : ""}:${inputs.length ? "" : ` ${words.rests.nothing}`}`),
      h(
        "ul",
        { class: "rests" },
        inputs.map((one) =>
          h(
            "li",
            { "data-rests": one.name },
            `${one.label}: `,
            h("b", {}, one.typed),
            h(
              "small",
              {},
              [
                text(one.pm),
                words.apart(
                  one.mark,
                  plan.racks.map((r) => r.name ?? ""),
                ),
                one.share && words.rests.of(one.share),
              ]
                .filter(Boolean)
                .join(" · "),
            ),
          ),
        ),
      ),
    ]),
    ...(told.length ? [h("p", {}, `${words.rests.source}: ${told[0][1].source}.`)] : []),
  );
}
