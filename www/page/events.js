// What is listened to on the page as a whole: its buttons, its fields as they get and lose the focus, other tabs, the address.

import { most } from "./core.js";
import { commit, refresh } from "./actions/commit.js";
import * as fields from "./widgets/fields.js";
import { tell, within } from "./widgets/note.js";
import { begin } from "./actions/opening.js";
import * as plan from "./state/plan.js";
import { open } from "./state/plan.js";
import * as plans from "./parts/frame/plans.js";
import { reach, released, steady } from "./widgets/reach.js";
import * as row from "./parts/frame/row.js";
import { act, entered } from "./state/state.js";
import * as tabs from "./state/tabs.js";
import * as tape from "./widgets/tape/panel.js";
import { words } from "./words.js";

const part = (id) => document.getElementById(id);

/** Listens to everything that is not one part's alone. */
export function listen() {
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-do]");
    // What is locked says why: a button that is disabled lets a tap through to its field.
    if (open.mode === "friend" && event.target.closest(".box, .sides, .limit, .marks, .texts, #plan-name"))
      tell(words.said.locked, true, { what: "keep", label: words.do.keep });
    if (!button || button.disabled) return;
    act[button.dataset.do]?.(button.dataset.rack === undefined ? undefined : Number(button.dataset.rack));
  });
  for (const button of document.querySelectorAll("[data-units]"))
    button.addEventListener("click", () => {
      plan.setUnits(button.dataset.units);
      commit();
      tell(words.units.switched[button.dataset.units]);
    });
  part("plan-name").addEventListener("input", ({ target }) => act.rename(within(target, most.name)));
  tabs.watch((news) => {
    if (news) {
      refresh();
      if (tabs.choice()) tell(tabs.choice()[0]);
    }
    plans.follow();
  });
  document.addEventListener("focusin", (event) => {
    const path = event.target.closest(".field[data-path]")?.dataset.path;
    if (!path) return;
    entered(path);
    const field = event.target.closest(".field");
    released(
      () =>
        document.activeElement === event.target &&
        steady(event.target, () => {
          row.typing(row.typed(event.target));
          document.querySelector(".field.on")?.classList.remove("on");
          field.classList.add("on");
          tape.lay(path, field);
          fields.showKeys(path);
          // Drawing and keys are there now: the field is brought to where all of it is seen.
          requestAnimationFrame(reach);
        }),
    );
  });
  document.addEventListener("focusin", ({ target }) => {
    if (!target.closest(".field[data-path]") && row.typed(target) && !target.closest("dialog"))
      released(() => document.activeElement === target && steady(target, () => row.typing(true)));
  });
  document.addEventListener("focusout", (event) => {
    // What comes back at the foot and the top of the page moves nothing from under the finger.
    if (row.typed(event.target))
      queueMicrotask(() =>
        released(() => row.typed(document.activeElement) || (row.isTyping() && steady(nearby(event.target), () => row.typing(false)))),
      );
    const left = event.target.closest(".field[data-path]");
    if (left && left.contains(event.relatedTarget)) return;
    if (left) plan.forgetUnits(open.draft, left.dataset.path);
    // Another program in front is no field left: the focus stays where it is.
    if (left || event.target.matches("[data-field]"))
      queueMicrotask(() => released(() => (document.activeElement === event.target ? plan.settle() : commit())));
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches("input[data-field]")) return;
    event.preventDefault();
    if (event.target.enterKeyHint === "done") event.target.blur();
    else fields.next(event.target);
  });
  window.addEventListener("hashchange", () => {
    // What is told of the link stands at the top of the page.
    document.activeElement?.blur();
    begin();
    scrollTo(0, 0);
  });
}

// Something beside a field that stays where it is while what is above it comes and goes.
const nearby = (field) => (field.isConnected ? field : null);
