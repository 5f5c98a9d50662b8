"use strict";
// Keeping the numbers to ring on this phone: only when its reader asks, and only where pages can be kept at all.
const PAGES = "fieldbell-pages";
const place = document.getElementById("asked");
const { pathname } = location;

async function show() {
  const pages = await caches.open(PAGES);
  const kept = (await pages.match(pathname, { ignoreVary: true })) ? "yes" : "no";
  for (const part of place.querySelectorAll("[data-when]")) part.hidden = part.dataset.when !== kept;
  place.hidden = false;
  place.dataset.kept = kept;
}

// Shown as it is afterwards, not as it was wished.
function tell(type) {
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = show;
  navigator.serviceWorker.controller?.postMessage({ type, path: pathname }, [port2]);
}

if (place && window.isSecureContext && navigator.serviceWorker && document.documentElement.dataset.until) {
  await navigator.serviceWorker.ready;
  place.querySelector("[data-keep]").addEventListener("click", () => tell("ask"));
  place.querySelector("[data-drop]").addEventListener("click", () => tell("drop"));
  await show();
}
