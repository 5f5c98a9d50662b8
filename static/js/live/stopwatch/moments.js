// Moments that a moved clock does not bend: milliseconds since 1970 by the page's own counter, which goes on evenly while
// the page is open and is set by the phone's clock when the page is loaded anew.
const MOVED_MS = 100; // less is the two clocks' ordinary drift over a run

// stamp: of an event, or of this moment.
export const steady = (stamp = performance.now()) => performance.timeOrigin + stamp;

// How far the phone's clock is ahead of the counter.
export const gap = () => Date.now() - steady();

// Whether the clock was moved, or the counter stood still, since a run began with that gap. before: a moment that had
// been seen already.
export function moved(then, now, { at, before = 0 }) {
  return Math.abs(now - then) > MOVED_MS || at < before;
}
