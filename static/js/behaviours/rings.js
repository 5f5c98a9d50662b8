// What rings at a session whose bell is running, on the pages beside the bell: asked for again and again while the page
// is in sight. A phone without a network says so elsewhere; here it keeps what it heard last.
const AGAIN_MS = 5000;
const BUZZ = [300, 100, 300];

export function watchRings(root) {
  const place = root.querySelector("[data-rings]");
  if (!place) return;
  let shown = "";
  async function look() {
    if (root.hidden) return;
    const answer = await fetch(place.dataset.rings, { headers: { "HX-Request": "true" } }).catch(() => null);
    if (!answer?.ok || answer.redirected) return;
    const text = (await answer.text()).trim();
    if (text === shown) return;
    shown = text;
    window.htmx.swap(place, text, { swapStyle: "innerHTML" });
    if (text) navigator.vibrate?.(BUZZ);
  }
  setInterval(look, AGAIN_MS);
  root.addEventListener("visibilitychange", look);
  look();
}
