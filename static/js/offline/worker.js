// The service worker: pages. The view that serves it puts RELEASE and worker_files.js before it.
const PAGES = "fieldbell-pages";
const UNTIL = "X-Keep-Until";
const AHEAD = "X-Ahead";
const WAIT_MS = 3000;
const TRIES = 4;
const AGAIN_MS = 200;
const pause = (ms) => new Promise((done) => { setTimeout(done, ms, null); });
const mayKeep = (path) => fits(RELEASE.pages, path) || fits(RELEASE.asked, path);

// Only a whole page of ours, as asked for, that says until when it may be kept.
function isGood(response) {
  const { ok, status, redirected, type, headers } = response;
  const html = headers.get("Content-Type")?.startsWith("text/html");
  return ok && status === 200 && !redirected && type === "basic" && html && Number(headers.get(UNTIL)) > 0;
}

// ask: the reader of a page with telephone numbers wants it kept; without that only an earlier copy is renewed.
async function remember(path, response, ask = false) {
  if (!mayKeep(path)) return;
  const pages = await caches.open(PAGES);
  if (!isGood(response)) {
    // Not this adult's any more, or signed out. A server in trouble takes nothing away.
    if (response.type === "opaqueredirect" || response.redirected || [401, 403, 404].includes(response.status)) await pages.delete(path);
    return;
  }
  if (fits(RELEASE.asked, path) && !ask && !(await pages.match(path))) return;
  const headers = new Headers(response.headers);
  headers.set(AHEAD, String((Date.parse(headers.get("Date")) || Date.now()) - Date.now()));
  headers.delete("Content-Encoding");
  await bring(path); // first: a page that is kept can be used
  await pages.put(path, new Response(await response.blob(), { headers }));
}

async function copyOf(path) {
  const pages = await caches.open(PAGES);
  const copy = await pages.match(path, { ignoreVary: true });
  if (!copy) return null;
  const now = Date.now() + Number(copy.headers.get(AHEAD));
  if (now < Number(copy.headers.get(UNTIL))) return copy;
  await pages.delete(path, { ignoreVary: true });
  return null;
}

// A busy Chromium finds its own cache empty for a moment, in 2 of 19 tries on a loaded machine: look again.
async function copyInTime(path) {
  for (let tries = 0; tries < TRIES; tries += 1) {
    const copy = await copyOf(path);
    if (copy) return copy;
    await pause(AGAIN_MS);
  }
  return null;
}

async function sweep() {
  const pages = await caches.open(PAGES);
  for (const request of await pages.keys()) await copyOf(new URL(request.url).pathname);
}

const noNetwork = async () => (await (await caches.open(FILES)).match(RELEASE.offline)) ?? Response.error();

async function page(event, url) {
  const network = fetch(event.request).then((response) => {
    if (!url.search) event.waitUntil(remember(url.pathname, response.clone()));
    return response;
  });
  const answer = network.catch(() => null);
  if (!mayKeep(url.pathname)) return (await answer) ?? noNetwork();
  const first = await Promise.race([answer, pause(WAIT_MS)]);
  return first ?? (await copyInTime(url.pathname)) ?? (await answer) ?? noNetwork();
}

const keep = async (path, ask) => remember(path, await fetch(path, { redirect: "manual" }), ask);
const MESSAGES = {
  skip: () => self.skipWaiting(),
  keep: ({ path }) => keep(path),
  ask: ({ path }) => keep(path, true),
  purge: () => caches.delete(PAGES),
  drop: async ({ path }) => (await caches.open(PAGES)).delete(path),
};

self.addEventListener("install", (event) => event.waitUntil(begin()));
self.addEventListener("activate", (event) => event.waitUntil(takeOver()));
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
