// Sends the queue of whoever is signed in, in order, one sender at a time. What the network lost stays; what the server
// refused is set aside with its reason; nothing of another account is ever sent.
import { announce, count } from "./post.js";
import { judge } from "./judge.js";
import { allWrites, changeWrite, dropWrite } from "./store.js";
import { ask, byServer, device, owner, recent, token } from "./who.js";

const PATIENCE_MS = 15_000;
const LEAST_MS = 1000;
const MOST_MS = 30_000;
const TRIES = 5; // a write that breaks the server is set aside after so many, so that the rest can go

let failures = 0;
let timer;
let running = false;
let again = false;

// Several taps in a row are one run.
export async function sendAll() {
  if (running) {
    again = true;
    return;
  }
  running = true;
  clearTimeout(timer);
  try {
    do {
      again = false;
      await alone(run);
    } while (again);
  } catch {
    later(0).catch(() => {}); // the phone's own store is shut for the moment
  } finally {
    running = false;
  }
}

// Two tabs must not send in turns: that could change the order. Where locks are missing (plain http) a write sent twice
// is still taken once.
function alone(act) {
  return navigator.locks ? navigator.locks.request("fieldbell-outbox", act) : act();
}

const waiting = async (mine) => (await allWrites()).find((op) => op.owner === mine && op.state === "waiting");

async function run() {
  const mine = owner();
  for (let op = mine && (await waiting(mine)); op; op = await waiting(mine)) {
    const result = await send(op);
    await note(op, result);
    if (result.stop) return later(result.wait_ms, result.stop);
    failures = 0;
  }
  await count("");
}

async function send(op) {
  try {
    if (!recent() && (await ask()).owner !== op.owner) return { stop: "sign-in" };
    let result = await post(op);
    if (result.stale) {
      await ask();
      result = await post(op);
    }
    return result;
  } catch {
    return { stop: "network" };
  }
}

async function post(op) {
  const html = op.wants === "html";
  const headers = { "X-CSRFToken": token(), "X-Outbox-Owner": op.owner, "X-Device": device() };
  headers.Accept = html ? "text/html" : "application/json";
  if (html) headers["HX-Request"] = "true";
  const own = [["op_id", op.op_id], ["device", device()], ["tapped_at", byServer(op.at)]];
  const body = new URLSearchParams([...op.body.filter(([name]) => name !== "device"), ...own]);
  const signal = AbortSignal.timeout(PATIENCE_MS);
  return judge(await fetch(op.url, { method: "POST", redirect: "manual", headers, body, signal }));
}

async function note(op, { state, answer, broke }) {
  const tries = (op.tries ?? 0) + (broke ? 1 : 0);
  if (state === "taken" && op.wants === "json") await dropWrite(op.number);
  else if (state) await changeWrite({ ...op, state, answer });
  else if (tries >= TRIES) await changeWrite({ ...op, tries, state: "refused", answer });
  else if (broke) await changeWrite({ ...op, tries });
  const told = state ?? (tries >= TRIES ? "refused" : null);
  if (!told) return;
  announce(op, told, answer);
  await count();
}

// Full jitter: a hall full of phones must not come back in the same moment.
async function later(wait_ms = 0, trouble = "network") {
  failures += 1;
  const most = Math.min(MOST_MS, LEAST_MS * 2 ** failures);
  timer = setTimeout(sendAll, Math.max(wait_ms, LEAST_MS + Math.random() * most));
  await count(trouble);
}

export function watchNetwork() {
  const now = () => { if (!document.hidden) { failures = 0; sendAll(); } };
  window.addEventListener("online", now);
  window.addEventListener("pageshow", now);
  document.addEventListener("visibilitychange", now);
}
