// The service worker: files. RELEASE stands before it: {version, files, apart, offline, pages, asked, family}.
const FILES = `fieldbell-files-${RELEASE.version}`;
const fits = (patterns, path) => patterns.some((pattern) => new RegExp(`^${pattern}$`).test(path));

// Names of files change with their content: those of an earlier release are as good.
async function file(request) {
  const known = await caches.match(request, { ignoreVary: true });
  if (known) return known;
  const response = await fetch(request);
  const isHashed = /\.[0-9a-f]{12}\.\w+$/.test(new URL(request.url).pathname);
  if (isHashed && response.status === 200 && response.type === "basic" && !response.redirected) {
    await (await caches.open(FILES)).put(request, response.clone());
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

const oldFiles = async () => (await caches.keys()).filter((name) => name.startsWith("fieldbell-files-") && name !== FILES);
const dropFiles = (old) => Promise.all(old.map((name) => caches.delete(name)));
