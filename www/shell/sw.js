// Keeps the whole site on the device: all of it or nothing. Nothing else is answered, and nothing
// is asked of any host once it is kept.

const VERSION = "@VERSION@";
const FILES = @FILES@;
const HEADERS = @HEADERS@;
const PREFIX = "stride-ledger-";
const CACHE = PREFIX + VERSION;

async function keepAll() {
  const cache = await caches.open(CACHE);
  try {
    // Past the browser's own cache: what is kept must be what the list was made from.
    await cache.addAll(FILES.map((file) => new Request(file, { cache: "no-cache" })));
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
}

// The version before stays until the next: a page of it may still be open elsewhere.
async function forgetOld() {
  const others = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== CACHE);
  await Promise.all(others.slice(0, -1).map((name) => caches.delete(name)));
}

function refuse(status, sentence) {
  return new Response(sentence, { status, headers: [["Content-Type", "text/plain; charset=utf-8"], ...HEADERS] });
}

async function answer(request) {
  if (request.method !== "GET") return refuse(405, "Nothing is sent from this page.\n");
  const url = new URL(request.url);
  const home = new URL("./", self.registration.scope);
  if (url.origin !== home.origin) return refuse(403, "This page asks no other host.\n");
  const isPage = url.pathname === home.pathname || url.pathname === `${home.pathname}index.html`;
  const path = isPage ? home.pathname : url.pathname;
  const own = await caches.open(CACHE);
  const kept = (await own.match(path)) ?? (await caches.match(path));
  if (!kept) return refuse(404, "There is no such file here.\n");
  // A worker obeys the headers of its own script, and a host may have sent none.
  const headers = new Headers(kept.headers);
  for (const [name, value] of HEADERS) headers.set(name, value);
  return new Response(kept.body, { status: kept.status, statusText: kept.statusText, headers });
}

self.addEventListener("install", (event) => event.waitUntil(keepAll()));
self.addEventListener("activate", (event) => event.waitUntil(forgetOld().then(() => self.clients.claim())));
self.addEventListener("fetch", (event) => event.respondWith(answer(event.request)));
self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
});
