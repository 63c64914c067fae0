// Keeps the panel's page and files, so that a reload without a network still finds them. The network comes
// first, always: what is kept is used only where it fails.
const KEPT = "kerfsmith-panel-1";
const OWN = /^\/(at-saw(\/run\/[^/]+)?|static\/.*)$/;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  const part = event.request.headers.has("x-panel");
  if (event.request.method !== "GET" || url.origin !== location.origin || part || !OWN.test(url.pathname)) return;
  event.respondWith(networkFirst(event.request));
});

async function networkFirst(request) {
  try {
    const answer = await fetch(request);
    await keep(request, answer);
    return answer;
  } catch (fault) {
    const kept = await caches.match(request, { ignoreVary: true });
    if (kept) return kept;
    throw fault;
  }
}

async function keep(request, answer) {
  if (!answer.ok || answer.redirected) return;
  const cache = await caches.open(KEPT);
  await cache.put(request, answer.clone());
}
