// Twin of clubapp/engine/handtime.py: both run tests/vectors/handtime.json. Whole milliseconds in, no clock read.
const TENTH_MS = 100;
const HUNDREDTH_MS = 10;

const upTo = (ms, step) => Math.ceil(ms / step) * step;

// A hand time: up to the next tenth of a second unless it is one.
export const rounded = (ms) => upTo(ms, TENTH_MS);

// One time from several watches on one runner: each rounded first, then the middle one; of two the longer.
export function combined(watches, byHand = true) {
  const ordered = watches.map((ms) => (byHand ? rounded(ms) : ms)).sort((a, b) => a - b);
  return ordered[Math.floor(ordered.length / 2)];
}

// "10.2" by hand, else "10.18"; from a minute on "1:02.4". Up to the digit that is shown, never down.
export function text(ms, byHand = true) {
  const step = byHand ? TENTH_MS : HUNDREDTH_MS;
  const whole = upTo(ms, step);
  const minutes = Math.floor(whole / 60_000);
  const places = byHand ? 1 : 2;
  const part = String((whole % 1000) / step).padStart(places, "0");
  const seconds = Math.floor((whole % 60_000) / 1000);
  return minutes ? `${minutes}:${String(seconds).padStart(2, "0")}.${part}` : `${seconds}.${part}`;
}
