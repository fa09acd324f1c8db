// Service worker: one cache per build with every file of it, complete or not used at all, so that two builds are never mixed.

// The build fills in both: its name, and every file with its hash.
const BUILD = "";
/** @type {[name: string, integrity: string][]} */
const FILES = [];

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

// Caches are per origin: a copy of the page under another path of the same host has another name.
const OWN = `donorack ${new URL(worker.registration.scope).pathname} `;
const CACHE = OWN + BUILD;
/** @type {(name: string) => string} */
const address = (name) => new URL(name, worker.registration.scope).href;
const known = new Set(FILES.map(([name]) => address(name)));

// By the hash a file of another build, or a truncated one, is rejected; then `addAll` keeps none of the files.
async function fill() {
  const cache = await caches.open(CACHE);
  await cache.addAll(FILES.map(([name, integrity]) => new Request(address(name), { integrity, cache: "no-cache" })));
}

/** Whether every file is there; a browser short of room may have taken them away, then they are fetched again. */
async function whole() {
  const count = async () => (await (await caches.open(CACHE)).keys()).length;
  if ((await count()) < FILES.length) await fill().catch(() => {});
  return (await count()) === FILES.length;
}

worker.addEventListener("install", (event) =>
  event.waitUntil(
    fill().catch(async (error) => {
      await caches.delete(CACHE);
      throw error;
    }),
  ),
);

worker.addEventListener("activate", (event) =>
  event.waitUntil(
    (async () => {
      for (const name of await caches.keys()) if (name.startsWith(OWN) && name !== CACHE) await caches.delete(name);
      await worker.clients.claim();
    })(),
  ),
);

worker.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  const opened = event.request.mode === "navigate";
  // A query string in a link to the page is ignored.
  const of = opened ? null : url.searchParams.get("build");
  if (opened && url.pathname.endsWith("/index.html")) url.pathname = url.pathname.slice(0, -"index.html".length);
  if (event.request.method !== "GET" || !known.has(url.origin + url.pathname)) return;
  // A page of the previous build that is still open asks for its own core: an error is better than another build's core.
  if (of !== null && of !== BUILD) event.respondWith(Response.error());
  else
    event.respondWith(
      caches
        .open(CACHE)
        .then((cache) => cache.match(url.origin + url.pathname, { ignoreVary: true }))
        .then((kept) => kept ?? fetch(event.request)),
    );
});

worker.addEventListener("message", (event) => {
  if (event.data === "take over") event.waitUntil(worker.skipWaiting());
  if (event.data === "which") event.waitUntil(whole().then((complete) => event.ports[0].postMessage({ build: BUILD, complete })));
});
