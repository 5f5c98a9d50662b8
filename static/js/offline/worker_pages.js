// The service worker: pages on this phone. RELEASE and worker_files.js stand before it.
const PAGES = "fieldbell-pages"; // of today's session
const FAMILY = "fieldbell-family"; // a guardian's, at their wish
const [UNTIL, AHEAD, MADE_BY, ERASED] = ["X-Keep-Until", "X-Ahead", "X-Made-By", "X-Erased"];
const isAsked = (path) => fits(RELEASE.asked, path) || fits(RELEASE.family, path);
const mayKeep = (path) => fits(RELEASE.pages, path) || isAsked(path);
const shelf = (path) => caches.open(fits(RELEASE.family, path) ? FAMILY : PAGES);
let purges = 0; // what was asked for before one is not kept after it

// Only a whole page of ours, as asked for, that says until when it may be kept.
function isGood(response) {
  const { ok, status, redirected, type, headers } = response;
  const html = headers.get("Content-Type")?.startsWith("text/html");
  return ok && status === 200 && !redirected && type === "basic" && html && Number(headers.get(UNTIL)) > 0;
}

// ask: its reader wants a page kept that is not kept by itself; without that only an earlier copy is renewed.
async function remember(path, response, { since, ask = false }) {
  if (!mayKeep(path)) return;
  const pages = await shelf(path);
  if (!isGood(response)) {
    // Not this adult's any more, or signed out. A server in trouble takes nothing away.
    if (response.type === "opaqueredirect" || response.redirected || [401, 403, 404].includes(response.status)) await pages.delete(path);
    return;
  }
  if (isAsked(path) && !ask && !(await pages.match(path))) return;
  const headers = new Headers(response.headers);
  headers.set(AHEAD, String((Date.parse(headers.get("Date")) || Date.now()) - Date.now()));
  headers.set(MADE_BY, RELEASE.version);
  headers.delete("Content-Encoding");
  const whole = await response.blob(); // fails if the network went half-way
  await bring(path); // first: a page that is kept can be used
  if (since === purges) await pages.put(path, new Response(whole, { headers }));
}

async function keep(path, ask = false) {
  const since = purges;
  await remember(path, await fetch(path, { redirect: "manual" }), { since, ask });
}

async function copyOf(path) {
  const pages = await shelf(path);
  const copy = await pages.match(path, { ignoreVary: true });
  if (!copy) return null;
  const now = Date.now() + Number(copy.headers.get(AHEAD));
  if (now < Number(copy.headers.get(UNTIL))) return copy;
  await pages.delete(path, { ignoreVary: true });
  return null;
}

async function keptPaths() {
  const all = await Promise.all([PAGES, FAMILY].map(async (name) => (await caches.open(name)).keys()));
  return all.flat().map((request) => new URL(request.url).pathname);
}

const sweep = async () => { for (const path of await keptPaths()) await copyOf(path); };

// Pages of an earlier release ask for its files. Both stay until the page could be fetched anew: a new version that
// takes over where there is no network has what the old one had. Numbers to ring are not fetched: that is a look at them.
async function isRenewed(path) {
  const isNew = async () => {
    const copy = await copyOf(path);
    return !copy || copy.headers.get(MADE_BY) === RELEASE.version;
  };
  if (await isNew()) return true;
  if (!fits(RELEASE.asked, path)) await keep(path, true);
  return isNew();
}

async function renew() {
  const old = await oldFiles();
  if (old.length && (await Promise.all((await keptPaths()).map(isRenewed))).every(Boolean)) await dropFiles(old);
}

// Somebody's record was erased at the club since a page was kept: it is fetched anew, and goes if it is there no more.
// Numbers to ring are not fetched but go.
async function forgetErased({ headers }) {
  const now = headers.get(ERASED);
  for (const path of now ? await keptPaths() : []) {
    const copy = await copyOf(path);
    if (!copy || copy.headers.get(ERASED) === now) continue;
    if (fits(RELEASE.asked, path)) await (await shelf(path)).delete(path, { ignoreVary: true });
    else await keep(path, true).catch(() => {}); // the network went: at the next contact
  }
}
