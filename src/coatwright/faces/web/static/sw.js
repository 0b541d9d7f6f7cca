// Keeps the shell and the live page for when the network is down. Never a tap: those wait in the page.

const STORE = "coatwright-MARK";
const shell = (url) => url.pathname.startsWith("/static/");
const marked = (url) => url.pathname.startsWith("/static/MARK/");
const page = (url) => /^\/jobs\/[^/]+\/day(\/now)?$/.test(url.pathname);

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(
  caches.keys().then((names) => Promise.all(names.filter((name) => name !== STORE).map((name) => caches.delete(name)))).then(() => self.clients.claim()),
));
self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin) return;
  if (shell(url) && marked(url)) event.respondWith(kept(event.request));
  else if (shell(url) || page(url)) event.respondWith(fresh(event.request));
});

async function kept(request) {
  const store = await caches.open(STORE), found = await store.match(request);
  return found ?? keep(store, request, await fetch(request));
}

async function fresh(request) {
  const store = await caches.open(STORE);
  try {
    return keep(store, request, await fetch(request));
  } catch (fault) {
    const found = await store.match(request);
    if (found) return found;
    throw fault;
  }
}

function keep(store, request, reply) {
  if (reply.ok) store.put(request, reply.clone());
  return reply;
}
