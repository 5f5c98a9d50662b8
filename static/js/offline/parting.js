// Signing out without a network. Only the club can end a sign-in, so the wish is kept on this phone: no page of that
// adult's is shown any more (first.js), and the first contact ends the sign-in before anything else.
import { purge } from "./kept.js";
import { ask, owner, token } from "./who.js";
import { words } from "./words.js";

const KEY = "fieldbell.parting";
const AGAIN_MS = 5000;
const PATIENCE_MS = 8000;
let busy = false;

function kept() {
  try {
    return localStorage.getItem(KEY) ?? "";
  } catch {
    return "";
  }
}

export function rememberParting() {
  try {
    localStorage.setItem(KEY, owner());
  } catch {
    // Storage is switched off: signing out then needs the network.
  }
}

// Whether nobody who wished to leave is signed in any more. Somebody else may be, meanwhile.
async function carryOut(who) {
  try {
    if ((await ask()).owner === who) {
      const headers = { "X-CSRFToken": token() };
      const signal = AbortSignal.timeout(PATIENCE_MS);
      await fetch("/people/sign-out/", { method: "POST", redirect: "manual", headers, signal });
      if ((await ask()).owner === who) return false;
    }
    localStorage.removeItem(KEY);
    return true;
  } catch {
    return false;
  }
}

function say() {
  const line = Object.assign(document.createElement("p"), { className: "parting", textContent: words.parting });
  line.setAttribute("role", "status");
  if (!document.querySelector(".parting")) document.body.append(line);
}

async function look() {
  const who = kept();
  for (const place of document.querySelectorAll("[data-parted]")) place.hidden = !who;
  if (!who || busy) return;
  const mine = who === owner();
  if (mine) say();
  busy = true;
  const done = await carryOut(who);
  busy = false;
  if (!done) setTimeout(look, AGAIN_MS);
  else if (mine) await purge().catch(() => {}).then(() => location.replace("/"));
  else await look();
}

// Whether this page may not be shown any more.
export function watchParting() {
  for (const name of ["storage", "pageshow", "online"]) window.addEventListener(name, look);
  look();
  return kept() !== "" && kept() === owner();
}
