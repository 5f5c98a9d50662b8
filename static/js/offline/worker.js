// The service worker: what it answers. RELEASE, worker_files.js and worker_pages.js stand before it.
const WAIT_MS = 3000;
const pause = (ms) => new Promise((done) => { setTimeout(done, ms, null); });
const noNetwork = async () => (await (await caches.open(FILES)).match(RELEASE.offline)) ?? Response.error();

// Network first, for three seconds. What comes later, or with a server in trouble, still counts where nothing is kept.
async function page(event, { pathname, search }) {
  const since = purges;
  let kept;
  const network = fetch(event.request).then((response) => {
    if (!search) kept = remember(pathname, response.clone(), { since });
    return response;
  });
  event.waitUntil(network.then(async (response) => {
    await kept;
    await forgetErased(response);
    await renew();
  }).catch(() => {}));
  const answer = network.catch(() => null);
  if (!mayKeep(pathname)) return (await answer) ?? noNetwork();
  const first = await Promise.race([answer, pause(WAIT_MS)]);
  if (first && first.status < 500) return first;
  return (await copyOf(pathname)) ?? (await answer) ?? noNetwork();
}

// all: at a wish to leave nothing, a guardian's pages too.
async function purge(all) {
  purges += 1;
  await caches.delete(PAGES);
  if (all) await caches.delete(FAMILY);
}

async function drop({ path }) {
  purges += 1;
  await (await shelf(path)).delete(path);
}

const MESSAGES = {
  skip: () => self.skipWaiting(),
  keep: ({ path }) => keep(path),
  ask: ({ path }) => keep(path, true),
  purge: ({ all }) => purge(all),
  drop,
};

self.addEventListener("install", (event) => event.waitUntil(begin()));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("message", (event) => {
  const done = Promise.resolve(MESSAGES[event.data?.type]?.(event.data));
  event.waitUntil(done.then(() => event.ports[0]?.postMessage("done"), () => event.ports[0]?.postMessage("failed")));
});
self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin || request.headers.has("HX-Request")) return;
  if (request.mode === "navigate") {
    event.waitUntil(sweep());
    event.respondWith(request.method === "GET" ? page(event, url) : fetch(request).catch(noNetwork));
  } else if (request.method === "GET" && url.pathname.startsWith("/static/")) event.respondWith(file(request));
});
