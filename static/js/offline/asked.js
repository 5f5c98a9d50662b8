"use strict";
// Keeping a page on this phone that is not kept by itself: only when its reader asks, and only where pages can be kept.
const place = document.getElementById("asked");
const { pathname } = location;
const shelf = place?.dataset.shelf; // the worker's store it would lie in; none where it may not be kept

async function show() {
  const pages = await caches.open(shelf);
  const kept = (await pages.match(pathname, { ignoreVary: true })) ? "yes" : "no";
  for (const part of place.querySelectorAll("[data-when]")) part.hidden = part.dataset.when !== kept;
  for (const box of place.querySelectorAll("[data-switch]")) Object.assign(box, { checked: kept === "yes", disabled: false });
  for (const part of [place, ...place.querySelectorAll("[data-able]")]) part.hidden = false;
  place.dataset.kept = kept;
}

// Shown as it is afterwards, not as it was wished.
async function tell(type) {
  const { active } = await navigator.serviceWorker.ready;
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = async ({ data }) => {
    await show();
    for (const part of place.querySelectorAll("[data-failed]")) part.hidden = data !== "failed";
  };
  active.postMessage({ type, path: pathname }, [port2]);
}

if (window.isSecureContext && navigator.serviceWorker && shelf) {
  await navigator.serviceWorker.ready;
  place.querySelector("[data-keep]")?.addEventListener("click", () => tell("ask"));
  place.querySelector("[data-drop]")?.addEventListener("click", () => tell("drop"));
  place.querySelector("[data-switch]")?.addEventListener("change", ({ target }) => {
    target.disabled = true;
    tell(target.checked ? "ask" : "drop");
  });
  await show();
}
