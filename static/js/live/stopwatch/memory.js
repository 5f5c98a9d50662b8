// The tape on this phone: closing or loading anew loses nothing. It holds ids and times, nobody's name.
import { isMine } from "./tabs.js";
import { fresh } from "./tape.js";

const NAME = "fieldbell.stopwatch.";
const OLD_MS = 36 * 3_600_000;

function sweep(now) {
  for (const key of Object.keys(localStorage)) {
    if (!key.startsWith(NAME)) continue;
    const { seen = 0, ops = [] } = JSON.parse(localStorage.getItem(key));
    if (now - seen > OLD_MS && !ops.length) localStorage.removeItem(key);
  }
}

// key: of one adult, session and station. Storage may be switched off: then `keep` says false.
export function recall(key, now) {
  try {
    sweep(now);
    return { ...fresh(), ...JSON.parse(localStorage.getItem(NAME + key)) };
  } catch {
    return fresh();
  }
}

export function keep(key, tape) {
  if (!isMine(key)) return true; // the tab that has the watch keeps it
  try {
    localStorage.setItem(NAME + key, JSON.stringify(tape));
    return true;
  } catch {
    return false;
  }
}

// The page goes: until when the clock was seen. What was taken off the phone meanwhile is not brought back.
export function touch(key, tape, now) {
  try {
    if (localStorage.getItem(NAME + key)) keep(key, { ...tape, seen: now });
  } catch {
    // Nothing was kept.
  }
}
