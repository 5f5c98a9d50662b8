// The figures: running in tenths as they pass, or standing.
import { steady } from "./moments.js";

function passed(ms) {
  const tenths = Math.max(0, Math.floor(ms / 100));
  const minutes = Math.floor(tenths / 600);
  const seconds = `${Math.floor((tenths % 600) / 10)}.${tenths % 10}`;
  return minutes ? `${minutes}:${seconds.padStart(4, "0")}` : seconds;
}

// start: since when it runs, null while it stands; text: what stands then.
export function paint(place, start, text = "") {
  cancelAnimationFrame(paint.next);
  const now = start === null ? text : passed(steady() - start);
  if (place.textContent !== now) place.textContent = now;
  place.hidden = !now;
  if (start !== null) paint.next = requestAnimationFrame(() => paint(place, start));
}
