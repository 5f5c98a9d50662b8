// The service worker: notices of the club. RELEASE stands before it. What one says was made to name nobody.
const HOME = "/";

function noticeIn(data) {
  try {
    return data.json().notification ?? {};
  } catch {
    return {}; // a notice that cannot be read is shown all the same: browsers take the leave away from silent ones
  }
}

// Only ever a page of ours.
function pathOf(navigate) {
  try {
    const { origin, pathname } = new URL(navigate ?? HOME, self.location.origin);
    return origin === self.location.origin ? pathname : HOME;
  } catch {
    return HOME;
  }
}

function show({ title, body, navigate, tag }) {
  const more = { body: body ?? "", tag: tag ?? "", icon: RELEASE.icon, data: { path: pathOf(navigate) } };
  return self.registration.showNotification(title ?? "Fieldbell", more);
}

async function open(path) {
  const pages = await self.clients.matchAll({ type: "window" });
  const there = pages.find((page) => new URL(page.url).pathname === path);
  return there ? there.focus() : self.clients.openWindow(path);
}

self.addEventListener("push", (event) => event.waitUntil(show(noticeIn(event.data))));
self.addEventListener("notificationclick", (event) => {
  event.notification.close();
  event.waitUntil(open(pathOf(event.notification.data?.path)));
});
