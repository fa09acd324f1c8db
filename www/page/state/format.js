// The plan format: a draft written in it, and read from it. The core composes and reads each measurement.

import { asTyped, compose, decodeLink, encodeLink, table } from "../core.js";
import { enter, fieldOf, parse, spec } from "./draft.js";
import { defaultUnit } from "./units.js";

/** @import { FieldView } from "../../types/core" */
/** @import { Draft, Entries, Entry, Kept, Plan, PlanSection } from "../../types/page" */

/**
 * The draft in the plan format.
 * @type {(draft: Draft) => Plan}
 */
export function toPlan(draft) {
  /** @type {(section: string, entries: Entries) => PlanSection} */
  const written = (section, entries) => {
    /** @type {Record<string, string>} */
    const out = {};
    for (const [name, entry] of Object.entries(entries)) {
      if (!entry) continue;
      const text = composed(section, name, entry);
      if (text !== "") out[name] = text;
    }
    return out;
  };
  /** @type {Plan} */
  const plan = { donorack: 1, ...(draft.linkFormat ? { link_format: draft.linkFormat } : {}) };
  if (draft.id) plan.id = draft.id;
  if (draft.name) plan.name = draft.name;
  if (draft.invented) plan.invented = true;
  plan.car = { ...written("car", draft.car), ...(draft.carNewer ? { newer: draft.carNewer } : {}) };
  plan.racks = draft.racks.map((rack) => ({
    ...(rack.name ? { name: rack.name } : {}),
    ...(rack.note ? { note: rack.note } : {}),
    ...(rack.mark ? { mark: rack.mark } : {}),
    ...written("rack", rack.entries),
    ...(rack.newer ? { newer: rack.newer } : {}),
  }));
  plan.limits = { ...written("limits", draft.limits), ...(draft.limitsNewer ? { newer: draft.limitsNewer } : {}) };
  if (draft.chosen) plan.chosen = draft.chosen;
  if (draft.newer) plan.newer = draft.newer;
  return plan;
}

/**
 * An entry as the plan format writes it.
 * @type {(section: string, name: string, entry: Entry) => string}
 */
function composed(section, name, { text, unit, side }) {
  return compose(section, name, text, unit || defaultUnit(table.get(`${section}.${name}`)?.units ?? []), side);
}

/** Statuses of fields that the plan itself fills. */
const FILLED = new Set(["ok", "unclear", "off"]);

/**
 * A plan as a draft. `typed` is what the plan format does not hold: the exact text of each field, and units and sides chosen before a number.
 * @param {Plan} given
 * @param {Kept["rest"] | null} [typed]
 * @returns {Draft}
 */
export function fromPlan(given, typed = null) {
  // Fields that were unknown to the version that read the plan may be known to this one.
  const racks = Array.isArray(given.racks) ? given.racks : [];
  const plan = [given.car, given.limits, ...racks].some((section) => section?.newer) ? decodeLink(encodeLink(given)) : given;
  const view = asTyped(plan);
  /** @type {(fields: Record<string, FieldView>) => Entries} */
  const entries = (fields) =>
    Object.fromEntries(
      Object.entries(fields)
        .filter(([, field]) => FILLED.has(field.status))
        .map(([name, { text, unit, side }]) => [name, { text, unit, side: side ?? "" }]),
    );
  /** @type {Draft} */
  const draft = {
    id: plan.id ?? null,
    linkFormat: plan.link_format ?? null,
    name: plan.name ?? "",
    invented: plan.invented ?? false,
    car: entries(view.car),
    limits: entries(view.limits),
    racks: view.racks.map((seen, i) => ({
      name: seen.name ?? "",
      note: seen.note ?? "",
      mark: plan.racks?.[i]?.mark ?? null,
      entries: entries(seen.fields),
      travelBy: null,
      newer: plan.racks?.[i]?.newer ?? null,
    })),
    chosen: plan.chosen ?? 0,
    spacing: null,
    newer: plan.newer ?? null,
    carNewer: plan.car?.newer ?? null,
    limitsNewer: plan.limits?.newer ?? null,
  };
  /** @type {(prefix: string, entries: Entries | undefined, written?: PlanSection) => void} */
  const restoreTyped = (prefix, entries, written = {}) => {
    for (const [name, entry] of Object.entries(entries ?? {})) {
      const path = `${prefix}.${name}`;
      // Only where it still says what the plan says.
      if (
        spec(path) &&
        (entry.side === "" || fieldOf(path).sides.includes(entry.side)) &&
        composed(parse(path).section, name, entry) === (written[name] ?? "")
      )
        enter(draft, path, entry);
    }
  };
  for (const section of /** @type {const} */ (["car", "limits"])) restoreTyped(section, typed?.[section], given[section]);
  for (const i of draft.racks.keys()) restoreTyped(`racks.${i}`, typed?.racks[i], given.racks?.[i]);
  return draft;
}
