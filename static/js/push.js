"use strict";
// Notices on this phone: asked for by a tap, shown as the browser has them, and told to the club at once.
const form = document.getElementById("push");
const part = (id) => document.getElementById(id);
const ticks = () => [...form.querySelectorAll("input[type=checkbox]")];
const able = window.isSecureContext && "PushManager" in window && "Notification" in window && navigator.serviceWorker;

// base64url to bytes
function bytes(text) {
  const plain = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(plain, (letter) => letter.charCodeAt(0));
}

async function manager() {
  const { pushManager } = await navigator.serviceWorker.ready;
  return pushManager;
}

// What the browser has, or makes now; made for another key it is of no use.
async function subscription() {
  const pushes = await manager();
  const key = bytes(form.dataset.key);
  const had = await pushes.getSubscription();
  const its = had && new Uint8Array(had.options.applicationServerKey ?? []);
  if (had && String(its) === String(key)) return had;
  await had?.unsubscribe();
  return pushes.subscribe({ userVisibleOnly: true, applicationServerKey: key });
}

async function tellClub(given) {
  const body = new URLSearchParams(new FormData(form));
  if (given) {
    const { endpoint, keys } = given.toJSON();
    for (const [name, value] of Object.entries({ endpoint, ...keys })) body.set(name, value);
  }
  const answer = await fetch(location.pathname, { method: "POST", body, headers: { Accept: "application/json" } });
  const { said, error } = await answer.json();
  if (!answer.ok) throw Object.assign(new Error("not taken"), { said: error });
  return said;
}

async function turn() {
  for (const name of ["blocked", "failed"]) part(name).hidden = true;
  const wanted = ticks().some(({ checked }) => checked);
  if (wanted && await Notification.requestPermission() !== "granted") {
    part("blocked").hidden = false;
    for (const tick of ticks()) tick.checked = false;
    return;
  }
  part("said").textContent = await tellClub(wanted ? await subscription() : null);
  if (!wanted) await (await (await manager()).getSubscription())?.unsubscribe();
}

// One tap after the other, each with all that is ticked then; back to what stood if it failed.
let last = Promise.resolve();
function changed({ target }) {
  last = last.then(turn).catch((trouble) => {
    target.checked = !target.checked;
    part("failed").hidden = Boolean(trouble.said);
    part("said").textContent = trouble.said ?? "";
  });
}

if (able && form) {
  // The browser may have dropped it by itself: then nothing comes, whatever the club believes.
  if (!(await (await manager()).getSubscription())) for (const tick of ticks()) tick.checked = false;
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("change", changed);
  part("cannot").hidden = true;
  form.hidden = false;
}
