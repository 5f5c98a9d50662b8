// Whose phone this is at the moment, the token for writing, and how far the phone's clock is off.
import { newId } from "../live/ids.js";

const ASK_MS = 8000;
const AHEAD = "fieldbell.ahead";
const FRESH_MS = 60_000;
const COOKIE = /(?:^|;\s*)(?:__Host-)?fieldbell-csrf=([^;]+)/;

// The account or pass this page was made for; "" for nobody.
export const owner = () => document.documentElement.dataset.owner ?? "";

// Read anew each time: signing in again changes it.
export const token = () => COOKIE.exec(document.cookie)?.[1] ?? "";

// One name for this phone, the same after signing in again, so that its own taps never seem to be somebody else's.
export function device() {
  try {
    const known = localStorage.getItem("fieldbell.device");
    if (known) return known;
    const made = newId();
    localStorage.setItem("fieldbell.device", made);
    return made;
  } catch {
    return (device.made ??= newId());
  }
}

let asked = { at: -Infinity, ahead: 0, owner: null };

// What the server says: {owner, now}; also renews the token's cookie. Throws without a network.
export async function ask() {
  const sent = performance.now();
  const signal = AbortSignal.timeout(ASK_MS);
  const answer = await fetch("/who/", { headers: { Accept: "application/json" }, cache: "no-store", signal });
  if (!answer.ok) throw new Error(`who: ${answer.status}`);
  const told = await answer.json();
  const back = performance.now();
  asked = { at: back, owner: told.owner, ahead: told.now_ms + (back - sent) / 2 - Date.now() };
  return asked;
}

// Whether a moment is past: by the server's clock where it can be asked, else by the phone's own as last put right.
export async function isPast(moment) {
  const told = await ask().catch(() => null);
  try {
    const ahead = told ? told.ahead : Number(localStorage.getItem(AHEAD)) || 0;
    if (told) localStorage.setItem(AHEAD, String(ahead));
    return Date.now() + ahead >= moment;
  } catch {
    return Date.now() + (told?.ahead ?? 0) >= moment;
  }
}

export const recent = () => performance.now() - asked.at < FRESH_MS && token() !== "" && asked.owner === owner();

// A moment of this phone's clock by the server's, as a sentence of digits.
export const byServer = (ms) => new Date(ms + asked.ahead).toISOString();
