// What is asked of a rack: where each limit comes from, and a button that turns its judgement off.

import { h, hide, put, say } from "./dom.js";
import { words } from "../words.js";

/** Puts origin and button beneath a limit's field. */
export function dress(parts, label, act) {
  parts.origin = h("span", { class: "limit-origin" });
  parts.off = h("button", { type: "button", class: "quiet", "data-off": parts.path, onclick: act });
  parts.label = label;
  parts.root.append(h("div", { class: "limit" }, parts.origin, parts.off));
}

/** Says where the limit comes from, and whether it is judged. */
export function paint(parts, view, fixed) {
  const status = view?.status ?? "none";
  say(parts.origin, words.limit[status] ?? "");
  const off = status === "off";
  // What was never set is not judged; there is nothing to turn off.
  hide(parts.off, status === "none" || status === "unclear");
  parts.off.disabled = fixed;
  say(parts.off, off ? words.limit.judge : words.limit.turnOff);
  put(parts.off, "aria-label", `${off ? words.limit.judge : words.limit.turnOff}: ${parts.label}`);
  parts.root.classList.toggle("off", off);
}
