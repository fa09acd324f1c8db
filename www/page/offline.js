// Offline use: installs the service worker that keeps every file of the page, and shows its state in one line.
//
// A new version waits until a tap activates it. Every keystroke is stored, so the reload loses nothing.

import { byId, h } from "./widgets/dom.js";
import { words } from "./words.js";

/** The build that this page belongs to; nothing for one that was not built. */
export const build = document.documentElement.dataset.build;

const lineElement = () => byId("offline");
const HOUR = 3600e3;
/** @type {ServiceWorkerRegistration | null} */
let registration = null;
let tapped = false;
let asked = Date.now();

/** Starts the worker. Over plain http to another machine browsers have none: then nothing is said, for nothing is wrong. */
export async function start() {
  const workers = navigator.serviceWorker;
  if (!workers || !build) return;
  workers.addEventListener("controllerchange", () => (tapped ? location.reload() : show()));
  /** @type {ServiceWorkerRegistration} */
  let own;
  try {
    own = await workers.register("sw.js", { updateViaCache: "none" });
  } catch {
    return;
  }
  registration = own;
  /** @type {(worker: ServiceWorker | null) => void} */
  const watch = (worker) => worker?.addEventListener("statechange", show);
  for (const worker of [own.installing, own.waiting, own.active]) watch(worker);
  own.addEventListener("updatefound", () => watch(own.installing));
  // A page that stays open for days looks for a new version when it becomes visible, at most once an hour.
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible" || Date.now() - asked < HOUR) return;
    asked = Date.now();
    own.update().catch(() => {});
  });
  await show();
}

async function show() {
  // A worker of an earlier visit may take control before `register` has returned.
  if (!registration) return undefined;
  // On the first visit a worker waits for a moment too, without an active one before it.
  if (registration.waiting && registration.active) return offer();
  const worker = registration.active;
  if (worker?.state !== "activated") return undefined;
  const { build: kept, complete } = await buildOf(worker);
  // Another tab activated a newer version, or this page came from the network while an older worker is active.
  if (kept !== build) return offer();
  lineElement().dataset.state = complete ? "ready" : "";
  return lineElement().replaceChildren(...(complete ? [words.offline.ready] : []));
}

/**
 * Which build a worker has cached, and whether completely.
 * @type {(worker: ServiceWorker) => Promise<{ build: string, complete: boolean }>}
 */
function buildOf(worker) {
  return new Promise((answer) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = (event) => answer(event.data);
    worker.postMessage("which", [port2]);
  });
}

function offer() {
  if (lineElement().dataset.state === "new") return;
  lineElement().dataset.state = "new";
  const all = byId("parts-all");
  all.classList.add("news");
  all.append(h("span", { class: "sr" }, words.parts.news));
  lineElement().replaceChildren(
    h("button", { type: "button", class: "quiet", onclick: takeOver }, words.offline.newer, " ", h("u", {}, words.offline.take)),
  );
}

function takeOver() {
  tapped = true;
  if (registration?.waiting) registration.waiting.postMessage("take over");
  else location.reload();
}
