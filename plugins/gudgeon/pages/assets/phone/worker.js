/* Keeps this one page and its files for when there is no network. It answers for the files listed here and for nothing else: every other
   request of the site goes where it went before. */
"use strict";
const VERSION = "{{version}}";
const FILES = {{files}};
const PAGE = new URL("index.html", self.registration.scope).href;
const PREFIX = `gudgeon-phone ${self.registration.scope} `;
const CACHE = PREFIX + VERSION;
const PATIENCE = 3000; // ms for the network to give a newer page; then the one that is kept
const ours = new Set(FILES.map((file) => new URL(file, self.registration.scope).href));

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const cache = await caches.open(CACHE);
    await cache.addAll([...ours].map((url) => new Request(url, { cache: "reload" }))); // all of them or none
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    const old = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== CACHE);
    await Promise.all(old.map((name) => caches.delete(name)));
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  const asked = url.origin + url.pathname + url.search;
  if (event.request.method !== "GET") return;
  if (event.request.mode === "navigate") {
    if (asked === self.registration.scope || url.origin + url.pathname === PAGE) event.respondWith(page(event.request));
  } else if (ours.has(asked)) {
    event.respondWith(caches.match(asked, { cacheName: CACHE }).then((kept) => kept || fetch(event.request)));
  }
});

async function page(request) {
  const kept = await caches.match(PAGE, { cacheName: CACHE });
  if (!kept) return fetch(request);
  const waited = new Promise((done) => setTimeout(() => done(null), PATIENCE));
  const fresh = fetch(request, { cache: "no-cache" }).catch(() => null);
  const given = await Promise.race([fresh, waited]);
  return given && given.ok ? given : kept;
}
