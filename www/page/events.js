// What is listened to on the page as a whole: its buttons, its fields as they get and lose the focus, other tabs, the address.

import { byId, closest, findAll, targetOf } from "./widgets/dom.js";
import { most } from "./core.js";
import { commit, refresh } from "./actions/commit.js";
import * as fields from "./widgets/fields.js";
import { announce, limitLength } from "./widgets/note.js";
import { openAddress } from "./actions/opening.js";
import { endStep } from "./state/history.js";
import { open } from "./state/plan.js";
import { forgetUnits, setUnits } from "./state/units.js";
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
    // A tap on a locked control says why it is locked; from a disabled button the click comes from its container.
    if (open.mode === "friend" && target?.closest(".box, .sides, .limit, .marks, .texts, #plan-name"))
      announce(words.said.locked, true, { what: "keep", label: words.do.keep });
    if (!button || (button instanceof HTMLButtonElement && button.disabled)) return;
    act[/** @type {keyof ButtonActions} */ (button.dataset.do)]?.(Number(button.dataset.rack));
  });
  for (const button of findAll("[data-units]"))
    button.addEventListener("click", () => {
      const units = button.dataset.units === "inch" ? "inch" : "mm";
      setUnits(units);
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
          // Drawing and keys are laid out now: scroll so that all of the field is visible.
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
    // Row and strip come back, without moving what is under the finger.
    if (row.bringsKeyboard(target))
      queueMicrotask(() =>
        whenReleased(
          () =>
            row.bringsKeyboard(document.activeElement) || (row.isTyping() && keepInPlace(ifConnected(target), () => row.setTyping(false))),
        ),
      );
    const left = closest(target, ".field[data-path]");
    if (left && relatedTarget instanceof Node && left.contains(relatedTarget)) return;
    if (left) forgetUnits(open.draft, left.dataset.path);
    // When another window comes to the front the field keeps the focus: then it was not left.
    if (left || target.matches("[data-field]"))
      queueMicrotask(() => whenReleased(() => (document.activeElement === target ? endStep() : commit(true))));
  });
  document.addEventListener("keydown", (event) => {
    const { target } = event;
    if (event.key !== "Enter" || !(target instanceof HTMLInputElement) || !target.matches("[data-field]")) return;
    event.preventDefault();
    if (target.enterKeyHint === "done") target.blur();
    else fields.focusNext(target);
  });
  window.addEventListener("hashchange", async () => {
    // The bar, which says what became of the link, is at the top of the page.
    const { activeElement } = document;
    if (activeElement instanceof HTMLElement) activeElement.blur();
    await openAddress();
    scrollTo(0, 0);
  });
}

// The element to hold in place while something above it appears or disappears; none where it was removed.
/** @type {(field: Element) => Element | null} */
const ifConnected = (field) => (field.isConnected ? field : null);
