"use strict";
// "Your phone": what it can do, how to install, what it keeps.
import { purge } from "./kept.js";
import { listKept } from "./shelf.js";
import { fact } from "./store.js";

const table = document.getElementById("phone");

function tell(what, able) {
  table.querySelector(`[data-can="${what}"]`).textContent = able ? table.dataset.yes : table.dataset.no;
}

const standalone = () => matchMedia("(display-mode: standalone)").matches || navigator.standalone === true;
const queue = () => fact("owner").then(() => true, () => false);

async function showKept() {
  const kept = document.getElementById("kept");
  kept.hidden = !(await listKept(kept.querySelector("ul")));
}

tell("queue", await queue());
tell("worker", window.isSecureContext && Boolean(navigator.serviceWorker));
tell("wake", "wakeLock" in navigator);
tell("sound", "AudioContext" in window || "webkitAudioContext" in window);
tell("voice", "speechSynthesis" in window);
tell("vibrate", "vibrate" in navigator);
tell("installed", standalone());
document.getElementById("put-on").hidden = standalone() || !window.isSecureContext;
await showKept();

window.addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault();
  const button = document.getElementById("install");
  button.hidden = false;
  button.addEventListener("click", () => event.prompt(), { once: true });
});
document.getElementById("purge").addEventListener("click", async () => {
  await purge();
  await showKept();
});
