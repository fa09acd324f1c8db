// Two tabs with the same plan: neither writes over the other in silence. The later one is told, and chooses.

import { meet, open } from "./plan.js";
import { keyOf } from "./store.js";
import { words } from "../words.js";

/** Listens for what other tabs write; `told` is called when something of the plans has changed. */
export function watch(told) {
  const look = () => {
    const before = open.clash;
    meet();
    told(open.clash !== before);
  };
  window.addEventListener("storage", (event) => {
    if (event.key === null || event.key.startsWith(keyOf(""))) look();
  });
  // A tab that was asleep heard nothing.
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && look());
}

/** What to say and to choose from while two tabs differ: `[sentence, buttons]` for the bar, or nothing. */
export function choice() {
  if (open.mode !== "own" || !open.clash) return null;
  const ways = open.clash === "removed" ? ["mine", "theirs"] : ["theirs", "mine", "both"];
  const said = words.tabs[open.clash];
  return [said.say, ways.map((way) => ({ what: `tab-${way}`, label: said[way] }))];
}
