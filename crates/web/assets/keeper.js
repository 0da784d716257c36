// Keeps the load sheet on the phone: from the network when there is one, from the phone when there is none.
const CACHE = "glost-kept-1";

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (e) => e.waitUntil(self.clients.claim()));

self.addEventListener("message", (e) => {
  if (!e.data?.keep) return;
  e.waitUntil(caches.open(CACHE).then((cache) => Promise.all(e.data.keep.map((path) => fetch(path).then((answer) => {
    // A page of entry is no load sheet.
    if (answer.ok && !answer.redirected) return cache.put(path, answer);
  }).catch(() => {})))));
});

self.addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  const kept = url.pathname.startsWith("/asset/") || /^\/firings\/[^/]+\/at-kiln$/.test(url.pathname);
  if (url.origin === location.origin && url.pathname === "/leave") e.waitUntil(caches.delete(CACHE));
  if (e.request.method !== "GET" || url.origin !== location.origin || !kept) return;
  e.respondWith((async () => {
    const cache = await caches.open(CACHE);
    try {
      const answer = await fetch(e.request);
      if (answer.ok && !answer.redirected) await cache.put(url.pathname, answer.clone());
      return answer;
    } catch (fault) {
      const old = await cache.match(url.pathname);
      if (old) return old;
      throw fault;
    }
  })());
});
