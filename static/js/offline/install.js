// The service worker: only where the browser allows one. A new version waits until somebody taps, and is not offered
// while a session runs on this page.
import { button } from "./draw.js";
import { words } from "./words.js";

const KEEP_MS = 8000;
const page = document.documentElement;
const running = () => Boolean(document.querySelector('[data-bell]:is([data-phase="running"], [data-phase="paused"], [data-phase="stopped"])'));

function offer(registration) {
  const place = document.getElementById("release");
  if (!registration.waiting || !place) return;
  const use = button(words.release_use, () => {
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
    registration.waiting.postMessage({ type: "skip" });
  });
  place.replaceChildren(Object.assign(document.createElement("span"), { textContent: words.release }), use);
  const show = () => { place.hidden = running(); };
  show();
  const bell = document.querySelector("[data-bell]");
  if (bell) new MutationObserver(show).observe(bell, { attributeFilter: ["data-phase"] });
}

function tell(message) {
  navigator.serviceWorker.controller?.postMessage(message);
}

// This page again, as it is now, for when there is no network; after a while without changes.
function keep() {
  clearTimeout(keep.timer);
  keep.timer = setTimeout(() => tell({ type: "keep", path: location.pathname }), KEEP_MS);
}

export async function install() {
  if (!window.isSecureContext || !navigator.serviceWorker) return;
  const first = !navigator.serviceWorker.controller;
  const registration = await navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" });
  offer(registration);
  registration.addEventListener("updatefound", () => {
    const coming = registration.installing;
    coming.addEventListener("statechange", () => { if (coming.state === "installed" && registration.active) offer(registration); });
  });
  document.addEventListener("visibilitychange", () => { if (!document.hidden) registration.update().catch(() => {}); });
  if (!page.dataset.until) return;
  document.body.addEventListener("htmx:afterSwap", keep);
  // The page that brought the worker was loaded without it; a station's tool may be wanted when there is no network.
  const also = [...document.querySelectorAll("a[data-also]")].map((link) => link.pathname);
  const now = () => [...(first ? [location.pathname] : []), ...also].forEach((path) => tell({ type: "keep", path }));
  if (navigator.serviceWorker.controller) now();
  else navigator.serviceWorker.addEventListener("controllerchange", now, { once: true });
}
