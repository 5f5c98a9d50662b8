// What of a session stays on this phone, and when it goes: an hour after the planned end, with the pass, with the
// rights, with signing out, or when somebody else signs in.
import { note } from "./draw.js";
import { discard, pending, sendSoon } from "./outbox.js";
import { dropOldPass, rememberPass } from "./pass.js";
import { endPush } from "./push.js";
import { allWrites, dropWrite, fact, setFact } from "./store.js";
import { dropTapes, openTimes } from "./tapes.js";
import { isPast, owner } from "./who.js";
import { fill, words } from "./words.js";

const PAGES = "fieldbell-pages";
const FAMILY = "fieldbell-family";
const NEAR_MS = 600_000; // a phone's clock may be off by so much: from here on the server is asked
const LEAST_MS = 30_000;
const MOST_MS = 2 ** 31 - 1;
const page = document.documentElement;
const until = () => Number(page.dataset.until ?? Infinity);

// Cached pages, and answers with names in them that a page was still to show. The queue itself stays. all: also a
// guardian's pages, which no session's end takes away.
export async function purge(all = true) {
  for (const name of all ? [PAGES, FAMILY] : [PAGES]) await window.caches?.delete(name);
  navigator.serviceWorker?.controller?.postMessage({ type: "purge", all });
  for (const op of await allWrites()) if (op.state === "taken") await dropWrite(op.number);
}

// All but this page.
async function purgeOthers() {
  const pages = await window.caches?.open(PAGES);
  for (const request of (await pages?.keys()) ?? []) {
    if (new URL(request.url).pathname !== location.pathname) await pages.delete(request, { ignoreVary: true });
  }
}

// With the pass goes what could not be sent; the adult is told what to tell the leader.
async function purgePass() {
  await sendSoon();
  const lost = (await pending()).filter(({ state }) => state !== "taken");
  for (const op of lost) await discard(op.op_id);
  const { nameless, unsent } = openTimes();
  const n = lost.length + nameless + unsent;
  return n ? fill(words.lost, { n }) : "";
}

// Times that a member of the club has not named yet stay: they hold nobody's name.
async function leaveSession(place) {
  await purge(false);
  const lost = "guest" in page.dataset ? await purgePass() : "";
  if ("guest" in page.dataset || page.dataset.gone) dropTapes();
  if (lost) document.querySelector(place).append(note(lost));
}

async function close(text) {
  page.dataset.over = "said";
  document.querySelector("main").replaceChildren(Object.assign(document.createElement("p"), { textContent: text }));
  for (const place of document.querySelectorAll(".page-head h1, .page-head .lead")) place.replaceChildren();
  await leaveSession("main");
}

// The leader's register: who is here and was not collected. CSS hides everybody else.
const isWaiting = () => "waits" in page.dataset && document.querySelector('#children :is([data-kind="here"], [data-kind="late"], [data-kind="easy"], [data-undone])');

function showWaiting() {
  page.dataset.over = "waits";
  const lead = document.querySelector(".page-head .lead");
  if (lead) lead.textContent = words.waits;
  return purgeOthers();
}

async function look() {
  if (page.dataset.over === "said") return;
  if (!["yes", "waits"].includes(page.dataset.over) && Date.now() < until() - NEAR_MS) return;
  if (!(await isPast(until()))) delete page.dataset.over;
  else if (isWaiting() && !(await isPast(Number(page.dataset.waits)))) await showWaiting();
  else await close(words.over);
}

function wait() {
  clearTimeout(wait.timer);
  const left = Math.min(Math.max(until() - Date.now(), LEAST_MS), MOST_MS);
  wait.timer = setTimeout(async () => { await look(); wait(); }, left);
}

// The line was closed for good: this adult may not see the session any more.
function watchRights() {
  const gone = new MutationObserver(async () => {
    if (!page.dataset.gone) return;
    gone.disconnect();
    await leaveSession("#messages");
  });
  gone.observe(page, { attributeFilter: ["data-gone"] });
}

export async function watchKept() {
  if (owner()) {
    const last = await fact("owner");
    if (last && last !== owner()) await purge().then(endPush);
    if (last !== owner()) await setFact("owner", owner());
  }
  await rememberPass();
  const lost = await dropOldPass();
  if (lost) document.querySelector("#messages")?.append(note(fill(words.lost, { n: lost })));
  watchRights();
  if (!Number.isFinite(until())) return;
  for (const [target, name] of [[document, "visibilitychange"], [window, "pageshow"]]) target.addEventListener(name, look);
  await look();
  wait();
}
