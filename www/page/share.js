// Sharing the address that carries the plan: by the share sheet, the clipboard, or a field to copy from.

import { most } from "./core.js";
import { byId, find, h, plainText } from "./widgets/dom.js";
import { link } from "./state/address.js";
import { toPlan } from "./state/format.js";
import { open } from "./state/plan.js";
import { planName } from "./state/state.js";
import { words } from "./words.js";

/** The address of the open plan, without what somebody else may have put behind the page's own. */
export const address = () => `${location.origin}${location.pathname}#${link()}`;

/**
 * Shares the open plan; `tell` is called with what happened.
 * @type {(tell: (sentence: string) => void) => Promise<void>}
 */
export async function share(tell) {
  const url = address();
  // A link too long to be read is not sent.
  if (url.length > most.link) return tell(words.share.tooLong(url.length));
  const title = plainText(words.share.title(planName(toPlan(open.draft))));
  if (navigator.share) {
    try {
      return await navigator.share({ title, url });
    } catch (error) {
      if (error instanceof DOMException && error.name === "AbortError") return undefined;
    }
  }
  try {
    await navigator.clipboard.writeText(url);
    return tell(words.said.link);
  } catch {
    return byHand(url);
  }
}

// Over plain http in a local network there is neither share sheet nor clipboard: the address is shown, selected.
/** @type {(url: string) => void} */
function byHand(url) {
  const place = byId("by-hand");
  const field = h("input", { id: "address", type: "text", readonly: true, "data-share": "address" });
  field.value = url;
  const close = h(
    "button",
    {
      type: "button",
      class: "quiet",
      onclick: () => {
        place.hidden = true;
        find("[data-do=share]")?.focus();
      },
    },
    words.do.close,
  );
  place.replaceChildren(
    h("label", { for: "address" }, words.share.select),
    field,
    h("p", { class: "sub" }, isLocal(location.hostname) ? words.share.local : words.share.plain),
    close,
  );
  place.hidden = false;
  field.focus();
  field.select();
}

/** The address that stands there to be copied follows the plan. */
export function follow() {
  const field = find("#by-hand:not([hidden]) input", document, HTMLInputElement);
  if (!field) return;
  const now = address();
  if (field.value !== now) field.value = now;
}

/**
 * Whether a host cannot be reached from outside: a name without a dot, or an address of a private network.
 * @type {(host: string) => boolean}
 */
export function isLocal(host) {
  if (host.startsWith("[")) return /^\[(::1\]|f[cd]|fe80:)/i.test(host);
  if (!host.includes(".") || host.endsWith(".local")) return true;
  return /^[\d.]+$/.test(host) && /^(10|127|192\.168|169\.254|172\.(1[6-9]|2\d|3[01]))\./.test(host);
}
