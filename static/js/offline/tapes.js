// What this adult's stop-watches took and what of it has no name yet: ids and times on this phone alone.
import { owner } from "./who.js";

const NAME = "fieldbell.stopwatch.";

function own(who) {
  try {
    return Object.keys(localStorage).filter((key) => key.startsWith(`${NAME}${who}.`));
  } catch {
    return []; // storage is switched off: nothing was kept
  }
}

export function dropTapes(who = owner()) {
  for (const key of own(who)) localStorage.removeItem(key);
}

function readTape(key) {
  try {
    return JSON.parse(localStorage.getItem(key)) ?? {};
  } catch {
    return {};
  }
}

// Finishers without a name, watches that run, and times the queue could not be given. at: where they can be named.
export function openTimes() {
  const all = { nameless: 0, running: 0, unsent: 0, at: "" };
  for (const key of own(owner())) {
    const { heats = [], one = {}, ops = [] } = readTape(key);
    const nameless = heats.flatMap(({ rows }) => rows).filter(({ result, dropped }) => !result && !dropped).length;
    const running = heats.filter(({ over, closed }) => !over && !closed).length + (Number.isFinite(one.start) ? 1 : 0);
    all.nameless += nameless;
    all.running += running;
    all.unsent += ops.length;
    if (nameless || running) all.at = pageOf(key);
  }
  return all;
}

// The key ends in the session and, where the watch stands at one, the station.
function pageOf(key) {
  const [session, station] = key.slice(`${NAME}${owner()}.`.length).split(".");
  return `/bell/${session}/${station ? `station/${station}/` : ""}stopwatch/`;
}
