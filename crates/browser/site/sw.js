// The service worker: a copy of this folder of one version, so that it opens without a network.
//
// A copy is made whole or not at all, and is used until the next one is whole and the pilot, or the closing of the last
// tab, lets it take over: two versions are never mixed. Written into this file by .ci/site:

const VERSION = "@VERSION@";
const FILES = "@FILES@".split(" ");

const NAME = "driftless ";
const CACHE = `${NAME}${location.pathname} ${VERSION}`;

/** @typedef {Event & {waitUntil(done: Promise<unknown>): void}} Lasting */
/** @typedef {Lasting & {request: Request, respondWith(response: Promise<Response>): void}} Fetch */
const scope = /** @type {any} */ (self);

scope.addEventListener("install", (/** @type {Lasting} */ event) => {
  event.waitUntil(fill());
});

scope.addEventListener("activate", (/** @type {Lasting} */ event) => {
  event.waitUntil(removeOthers().then(() => scope.clients.claim()));
});

scope.addEventListener("message", (/** @type {MessageEvent} */ event) => {
  if (event.data === "take over") scope.skipWaiting();
});

scope.addEventListener("fetch", (/** @type {Fetch} */ event) => {
  if (event.request.method === "GET") event.respondWith(fromCache(event.request));
});

async function fill() {
  const cache = await caches.open(CACHE);
  try {
    await cache.addAll(FILES.map((file) => new Request(file, { cache: "reload" })));
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
}

async function removeOthers() {
  for (const name of await caches.keys()) {
    if (name.startsWith(`${NAME}${location.pathname} `) && name !== CACHE) await caches.delete(name);
  }
}

/** @param {Request} request */
async function fromCache(request) {
  const cache = await caches.open(CACHE);
  const kept = await cache.match(request, { ignoreSearch: true });
  // What is not of this version (the one file beside the folder, say) comes from where it is.
  return kept ?? fetch(request);
}
