// Keeps the bench at hand without a connection: its page and its files, fresh where there is a
// connection, else as they were. Taps are kept by the page itself; nothing else is touched.
"use strict";

const KEPT = "hoodwright-bench";
const BENCH = /^\/orders\/[0-9]{4}-[0-9]{4,9}\/bench$/;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

async function freshOrKept(request) {
  const kept = await caches.open(KEPT);
  try {
    const fresh = await fetch(request);
    if (fresh.ok && fresh.type === "basic") await kept.put(request.url, fresh.clone());
    return fresh;
  } catch (error) {
    const old = await kept.match(request.url, { ignoreVary: true });
    if (old) return old;
    throw error;
  }
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin) return;
  const page = request.mode === "navigate" && BENCH.test(pathname);
  if (page || pathname.startsWith("/static/")) event.respondWith(freshOrKept(request));
});
