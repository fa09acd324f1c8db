// What is listened to on the page as a whole: its buttons, its fields as they get and lose the focus, other tabs, the address.

import { byId, closest, findAll, targetOf } from "./widgets/dom.js";
import { most } from "./core.js";
import { commit, refresh } from "./actions/commit.js";
import * as fields from "./widgets/fields.js";
import { announce, limitLength } from "./widgets/note.js";
import { begin } from "./actions/opening.js";
import * as plan from "./state/plan.js";
import { open } from "./state/plan.js";
import * as plans from "./parts/frame/plans.js";
import { scrollToFocused, whenReleased, keepInPlace } from "./widgets/reach.js";
import * as row from "./parts/frame/row.js";
import { act, fieldEntered } from "./state/state.js";
import * as tabs from "./state/tabs.js";
import * as tape from "./widgets/tape/panel.js";
import { words } from "./words.js";

/** @import { ButtonActions } from "../types/page" */

/** Listens to everything that is not one part's alone. */
export function listen() {
  document.addEventListener("click", (event) => {
    const target = targetOf(event);
    const button = closest(target, "[data-do]");
    // What is locked says why: a button that is disabled lets a tap through to its field.
    if (open.mode === "friend" && target?.closest(".box, .sides, .limit, .marks, .texts, #plan-name"))
      announce(words.said.locked, true, { what: "keep", label: words.do.keep });
    if (!button || (button instanceof HTMLButtonElement && button.disabled)) return;
    act[/** @type {keyof ButtonActions} */ (button.dataset.do)]?.(Number(button.dataset.rack));
  });
  for (const button of findAll("[data-units]"))
    button.addEventListener("click", () => {
      const units = button.dataset.units === "inch" ? "inch" : "mm";
      plan.setUnits(units);
      commit();
      announce(words.units.switched[units]);
    });
  const name = byId("plan-name", HTMLInputElement);
  name.addEventListener("input", () => act.rename(limitLength(name, most.name)));
  tabs.watch((news) => {
    if (news) {
      refresh();
      const choice = tabs.choice();
      if (choice) announce(choice[0]);
    }
    plans.follow();
  });
  document.addEventListener("focusin", (event) => {
    const target = targetOf(event);
    const field = closest(target, ".field[data-path]");
    const path = field?.dataset.path;
    if (!field || !path) return;
    fieldEntered(path);
    whenReleased(
      () =>
        document.activeElement === target &&
        keepInPlace(target, () => {
          row.setTyping(row.bringsKeyboard(target));
          document.querySelector(".field.on")?.classList.remove("on");
          field.classList.add("on");
          tape.show(path, field);
          fields.showKeys(path);
          // Drawing and keys are there now: the field is brought to where all of it is seen.
          requestAnimationFrame(scrollToFocused);
        }),
    );
  });
  document.addEventListener("focusin", (event) => {
    const target = targetOf(event);
    if (target && !target.closest(".field[data-path]") && row.bringsKeyboard(target) && !target.closest("dialog"))
      whenReleased(() => document.activeElement === target && keepInPlace(target, () => row.setTyping(true)));
  });
  document.addEventListener("focusout", (event) => {
    const target = targetOf(event);
    const { relatedTarget } = event;
    if (!target) return;
    // What comes back at the foot and the top of the page moves nothing from under the finger.
    if (row.bringsKeyboard(target))
      queueMicrotask(() =>
        whenReleased(
          () =>
            row.bringsKeyboard(document.activeElement) || (row.isTyping() && keepInPlace(ifConnected(target), () => row.setTyping(false))),
        ),
      );
    const left = closest(target, ".field[data-path]");
    if (left && relatedTarget instanceof Node && left.contains(relatedTarget)) return;
    if (left) plan.forgetUnits(open.draft, left.dataset.path);
    // Another program in front is no field left: the focus stays where it is.
    if (left || target.matches("[data-field]"))
      queueMicrotask(() => whenReleased(() => (document.activeElement === target ? plan.settle() : commit())));
  });
  document.addEventListener("keydown", (event) => {
    const { target } = event;
    if (event.key !== "Enter" || !(target instanceof HTMLInputElement) || !target.matches("[data-field]")) return;
    event.preventDefault();
    if (target.enterKeyHint === "done") target.blur();
    else fields.focusNext(target);
  });
  window.addEventListener("hashchange", () => {
    // What is told of the link stands at the top of the page.
    const { activeElement } = document;
    if (activeElement instanceof HTMLElement) activeElement.blur();
    begin();
    scrollTo(0, 0);
  });
}

// Something beside a field that stays where it is while what is above it comes and goes.
/** @type {(field: Element) => Element | null} */
const ifConnected = (field) => (field.isConnected ? field : null);
