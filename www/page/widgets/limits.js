// What is asked of a rack: where each limit comes from, and a button that turns its judgement off.

import { h, setHidden, updateAttribute, setText } from "./dom.js";
import { words } from "../words.js";

/** @import { FieldView } from "../../types/core" */
/** @import { FieldParts } from "../../types/page" */

/** @type {Record<string, string>} */
const ORIGINS = words.limit.origins;

/**
 * Puts origin and button beneath a limit's field.
 * @type {(parts: FieldParts, label: string, act: () => void) => void}
 */
export function addLimit(parts, label, act) {
  const origin = h("span", { class: "limit-origin" });
  const off = h("button", { type: "button", class: "quiet", "data-off": parts.path, onclick: act });
  parts.limit = { label, origin, off };
  parts.root.append(h("div", { class: "limit" }, origin, off));
}

/**
 * Says where the limit comes from, and whether it is judged.
 * @type {(root: HTMLElement, limit: NonNullable<FieldParts["limit"]>, view: FieldView | undefined, fixed: boolean) => void}
 */
export function paint(root, { label, origin, off: button }, view, fixed) {
  const status = view?.status ?? "none";
  setText(origin, ORIGINS[status] ?? "");
  const off = status === "off";
  // A limit that was never set is not judged: there is nothing to turn off.
  setHidden(button, status === "none" || status === "unclear");
  button.disabled = fixed;
  setText(button, off ? words.limit.judge : words.limit.turnOff);
  updateAttribute(button, "aria-label", `${off ? words.limit.judge : words.limit.turnOff}: ${label}`);
  root.classList.toggle("off", off);
}
