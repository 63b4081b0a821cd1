/**
 * Keeps the shell and the static files of one build, so that the page opens without a network.
 *
 * BUILD = {version, files} stands before this text as it is served. Acts are in IndexedDB, which no
 * worker touches; answers of the server are never kept. The files of the build before stay until
 * the next one: a page that is open still reads them.
 */

const PREFIX = "weighbook-";
const CACHE = PREFIX + BUILD.version;

self.addEventListener("install", (event) => {
  const files = BUILD.files.map((file) => `/static/${BUILD.version}/${file}`);
  const all = [new Request("/", { cache: "reload", credentials: "omit" }), ...files];
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(all)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(tidy().then(() => self.clients.claim()));
});

async function tidy() {
  const others = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== CACHE);
  // Names are in the order in which the caches were made.
  await Promise.all(others.slice(0, -1).map((name) => caches.delete(name)));
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin) return;
  if (request.mode === "navigate" && pathname === "/") event.respondWith(kept("/", request));
  else if (pathname.startsWith("/static/")) event.respondWith(kept(pathname, request));
});

async function kept(path, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(path)) ?? (await caches.match(path)) ?? fetch(request);
}
