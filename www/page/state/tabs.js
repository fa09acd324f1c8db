// Two tabs with the same plan: neither overwrites the other silently. The tab that is behind says so and offers a choice.

import { open } from "./plan.js";
import { detectClash } from "./record.js";
import { keyOf } from "./store.js";
import { words } from "../words.js";

/**
 * Listens for what other tabs write; calls `told` after each write to a plan, with whether the clash has changed.
 * @type {(told: (news: boolean) => void) => void}
 */
export function watch(told) {
  const look = () => {
    const before = open.clash;
    detectClash();
    told(open.clash !== before);
  };
  window.addEventListener("storage", (event) => {
    if (event.key === null || event.key.startsWith(keyOf(""))) look();
  });
  // A frozen tab gets no storage events.
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && look());
}

/**
 * The sentence and buttons for the bar while two tabs differ, or `null`.
 * @type {() => [string, { what: string, label: string }[]] | null}
 */
export function choice() {
  if (open.mode !== "own" || !open.clash) return null;
  const ways = open.clash === "removed" ? ["mine", "theirs"] : ["theirs", "mine", "both"];
  /** @type {Record<string, string>} */
  const said = words.tabs[open.clash];
  return [said.say, ways.map((way) => ({ what: `tab-${way}`, label: said[way] }))];
}
