// The service worker: files. RELEASE stands before it: {version, files, apart, offline, pages, asked}.
const FILES = `fieldbell-files-${RELEASE.version}`;
const fits = (patterns, path) => patterns.some((pattern) => new RegExp(`^${pattern}$`).test(path));

// Names of files change with their content.
async function file(request) {
  const files = await caches.open(FILES);
  const known = await files.match(request, { ignoreVary: true });
  if (known) return known;
  const response = await fetch(request);
  const isHashed = /\.[0-9a-f]{12}\.\w+$/.test(new URL(request.url).pathname);
  if (isHashed && response.status === 200 && response.type === "basic" && !response.redirected) {
    await files.put(request, response.clone());
  }
  return response;
}

// What some pages alone need comes with the first of them, so that the first visit is short.
async function bring(path) {
  const files = await caches.open(FILES);
  for (const [pattern, names] of RELEASE.apart) {
    if (!fits([pattern], path)) continue;
    for (const name of names) if (!(await files.match(name, { ignoreVary: true }))) await files.add(name);
  }
}

const begin = async () => (await caches.open(FILES)).addAll([...RELEASE.files, RELEASE.offline]);

// Old pages ask for old files: they go together.
async function takeOver() {
  const old = (await caches.keys()).filter((name) => name.startsWith("fieldbell-files-") && name !== FILES);
  if (old.length) await caches.delete(PAGES);
  for (const name of old) await caches.delete(name);
  await self.clients.claim();
}
