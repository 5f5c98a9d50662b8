// Which signal is due at which instant of the server's clock, and what each is made of. Pure: reads no clock.
// tests/vectors/signals.json says what is due in which state.
import { view } from "../clock.js";

const TEN_MS = 10_000;
const SHORTEST_WITH_TEN_MS = 15_000; // in a shorter part its own beginning is still in the ear
const LATE_MS = 3000; // what a command asked for longer ago is not made up for
const BEGINS = { work: "start", game: "start", "warm-up": "start", water: "water" };
const groups = (many, one, apart) => Array.from({ length: many }, (_, n) => one.map(([at, ...rest]) => [at + n * apart, ...rest])).flat();

// [from, length, hertz] of each note, milliseconds. No two have the same rhythm, so that pitch is not needed to tell them
// apart; the lowest is as low as a phone's loudspeaker carries over a field.
export const SIGNALS = {
  start: [[0, 120, 1400], [220, 120, 1400], [440, 800, 1870]],
  ten: groups(5, [[0, 60, 2100]], 160),
  move: groups(2, [[0, 650, 1100]], 950),
  water: groups(3, [[0, 340, 1300], [440, 110, 1740]], 800),
  cue: [[0, 90, 1760]],
  ring: [[0, 1700, 1560]],
  stop: groups(3, groups(4, [[0, 130, 2350]], 190), 1150),
  leader: groups(2, [[0, 110, 1250], [190, 420, 2000]], 800),
  all: groups(3, [[0, 110, 1250], [190, 420, 2000]], 800),
  louder: groups(4, [[0, 110, 1700], [170, 240, 2600]], 460),
};

export const lengthOf = (signal) => SIGNALS[signal].reduce((last, [at, length]) => Math.max(last, at + length), 0);

// The same rhythm for the hand: on and off by turns, milliseconds.
export function buzzOf(signal) {
  return SIGNALS[signal].flatMap(([at, length], n, all) => {
    const next = all[n + 1];
    return next ? [length, next[0] - at - length] : [length];
  });
}

// What begins with a part. Whatever is not work and not water says that work is over, or that one has to move.
export const signalOf = (kind) => BEGINS[kind] ?? "move";

// Of a running bell, everything due after `now` and not after `until`: {at, signal, index of the part it belongs to}.
export function moments(state, now, until) {
  const seen = view(state, now);
  const due = [];
  if (seen.phase !== "running" || seen.kind === "over") return due;
  const lengths = state.segments.map(([, seconds]) => seconds * 1000);
  let at = seen.deadline_ms;
  for (let index = seen.index; index < lengths.length && at - TEN_MS <= until; index += 1) {
    const length = index === seen.index ? Math.max(lengths[index], seen.remaining_ms) : lengths[index];
    if (length >= SHORTEST_WITH_TEN_MS) due.push({ at: at - TEN_MS, signal: "ten", index });
    const next = state.segments[index + 1];
    // Of two parts that begin together only the one that lasts is heard.
    if (lengths[index + 1] !== 0) due.push({ at, signal: signalOf(next?.[0]), index: index + 1 });
    at += lengths[index + 1] ?? 0;
  }
  return due.filter((one) => one.at > now && one.at <= until);
}

// What a command says at once, or null. before: the state until now, null when the page has just been opened.
export function ordered(before, after, now) {
  if (after.phase === "stopped") return isNewStop(before, after) ? "stop" : null;
  if (!before) return null;
  if (after.rung !== before.rung) return now - (after.rung_ms ?? now) <= LATE_MS ? "ring" : null;
  if (after.seq === before.seq || now - after.since_ms > LATE_MS) return null;
  const [was, is] = [view(before, now), view(after, now)];
  if (is.phase === "running") {
    const same = was.phase === "running" && was.kind === is.kind && was.round === is.round;
    return same ? null : signalOf(is.kind);
  }
  return was.phase === "running" ? "ring" : null;
}

// Thunder heard once more is called once more.
function isNewStop(before, after) {
  return before?.phase !== "stopped" || before.reason !== after.reason || before.thunder_ms !== after.thunder_ms;
}
