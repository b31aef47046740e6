// Caches the whole site, all of it or nothing. Afterwards it serves only from the cache and sends no
// request to any host.

const VERSION = "@VERSION@";
const FILES = @FILES@;
const HEADERS = @HEADERS@;
const PREFIX = "stride-ledger-";
const CACHE = PREFIX + VERSION;

async function cacheAll() {
  const cache = await caches.open(CACHE);
  try {
    // Past the browser's own cache: the files must be those of the list.
    await cache.addAll(FILES.map((file) => new Request(file, { cache: "no-cache" })));
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
}

// The previous version stays: another tab may still have it open.
async function deleteOldCaches() {
  const others = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== CACHE);
  await Promise.all(others.slice(0, -1).map((name) => caches.delete(name)));
}

function refuse(status, sentence) {
  return new Response(sentence, { status, headers: [["Content-Type", "text/plain; charset=utf-8"], ...HEADERS] });
}

async function respond(request) {
  if (request.method !== "GET") return refuse(405, "Nothing is sent from this page.\n");
  const url = new URL(request.url);
  const home = new URL("./", self.registration.scope);
  if (url.origin !== home.origin) return refuse(403, "This page sends no request to another host.\n");
  const isPage = url.pathname === home.pathname || url.pathname === `${home.pathname}index.html`;
  const path = isPage ? home.pathname : url.pathname;
  const own = await caches.open(CACHE);
  const cached = (await own.match(path)) ?? (await caches.match(path));
  if (!cached) return refuse(404, "There is no such file here.\n");
  // A worker obeys the headers of its own script, and the host may have sent none.
  const headers = new Headers(cached.headers);
  for (const [name, value] of HEADERS) headers.set(name, value);
  return new Response(cached.body, { status: cached.status, statusText: cached.statusText, headers });
}

self.addEventListener("install", (event) => event.waitUntil(cacheAll()));
self.addEventListener("activate", (event) => event.waitUntil(deleteOldCaches().then(() => self.clients.claim())));
self.addEventListener("fetch", (event) => event.respondWith(respond(event.request)));
self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
});
