// Sharing: the address that carries the plan, by whatever way this browser has.

import { most } from "./core.js";
import { h, plain } from "./widgets/dom.js";
import { link, open, toPlan } from "./state/plan.js";
import { nameOf } from "./state/state.js";
import { words } from "./words.js";

/** The address of the open plan, without what somebody else may have put behind the page's own. */
export const address = () => `${location.origin}${location.pathname}#${link()}`;

/** Shares the open plan; `tell` announces what happened. */
export async function share(tell) {
  const url = address();
  // A link that nobody can open is not sent.
  if (url.length > most.link) return tell(words.share.tooLong(url.length));
  const title = plain(words.share.title(nameOf(toPlan(open.draft))));
  if (navigator.share) {
    try {
      return await navigator.share({ title, url });
    } catch (error) {
      if (error.name === "AbortError") return undefined;
    }
  }
  try {
    await navigator.clipboard.writeText(url);
    return tell(words.said.link);
  } catch {
    return byHand(url);
  }
}

// Neither way exists over plain http in the local network: the address stands there, selected.
function byHand(url) {
  const place = document.getElementById("by-hand");
  const field = h("input", { id: "address", type: "text", readonly: true, "data-share": "address" });
  field.value = url;
  const close = h(
    "button",
    {
      type: "button",
      class: "quiet",
      onclick: () => {
        place.hidden = true;
        document.querySelector("[data-do=share]")?.focus();
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
  const field = document.querySelector("#by-hand:not([hidden]) input");
  if (!field) return;
  const now = address();
  if (field.value !== now) field.value = now;
}

/** Whether a host leads nowhere from outside: a name without a dot, or an address kept for private networks. */
export function isLocal(host) {
  if (host.startsWith("[")) return /^\[(::1\]|f[cd]|fe80:)/i.test(host);
  if (!host.includes(".") || host.endsWith(".local")) return true;
  return /^[\d.]+$/.test(host) && /^(10|127|192\.168|169\.254|172\.(1[6-9]|2\d|3[01]))\./.test(host);
}
