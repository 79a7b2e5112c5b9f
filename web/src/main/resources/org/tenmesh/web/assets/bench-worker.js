"use strict";
// Keeps bench pages for the time without network: whatever the server answers is kept, and shown again only when it does not answer.
const KEPT = "tenmesh-bench-1";
const WAITS_MS = 4000;
self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
const bare = (request) => new Request(request.url, { headers: {} });
self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  const page = event.request.mode === "navigate" && url.pathname.startsWith("/bench");
  const asset = url.pathname.startsWith("/assets/");
  if (event.request.method !== "GET" || url.origin !== self.location.origin || !(page || asset)) {
    return;
  }
  event.respondWith((async () => {
    const kept = await caches.open(KEPT);
    if (asset) {
      const known = await kept.match(url.pathname);
      if (known) {
        return known;
      }
    }
    try {
      const late = new Promise((_, no) => setTimeout(() => no(new Error("no answer")), WAITS_MS));
      const answer = await Promise.race([fetch(event.request), late]);
      if (answer.ok && !answer.redirected) {
        await kept.put(asset ? url.pathname : bare(event.request), answer.clone());
      }
      return answer;
    } catch (away) {
      const known = (await kept.match(bare(event.request), { ignoreSearch: true })) || (await kept.match("/bench"));
      if (known) {
        return known;
      }
      throw away;
    }
  })());
});
