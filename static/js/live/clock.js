// Twin of clubapp/engine/clock.py, as far as a phone needs it. Both run tests/vectors/clock.json. Pure: reads no clock.
const LAST = 8;
const FEW = 4;
const FEW_AFTER_MS = 2000;
const THUNDER_MS = 30 * 60_000;
const LONGEST_SHOWN_S = 99 * 60 + 59;

const msOf = (segment) => (segment ? segment[1] * 1000 : 0);

// Where a running bell has got to by itself.
function settled(state, now) {
  let { index, deadline_ms: deadline } = state;
  while (state.phase === "running" && index < state.segments.length && now >= deadline) {
    index += 1;
    deadline += msOf(state.segments[index]);
  }
  return { index, deadline };
}

function end(state, index, left, start) {
  return start + left + state.segments.slice(index + 1).reduce((sum, segment) => sum + msOf(segment), 0);
}

// What to show at an instant of the server's clock; one before the last command counts as that command's.
export function view(state, nowMs) {
  const now = Math.max(nowMs, state.since_ms);
  const running = state.phase === "running";
  const { index, deadline } = settled(state, now);
  const [kind, , round] = state.segments[index] ?? [state.segments.length ? "over" : "", 0, null];
  const left = running ? Math.max(0, deadline - now) : state.left_ms;
  const over = state.phase === "ended" || state.since_ms <= 0;
  return {
    phase: state.phase,
    index,
    kind,
    round: round ?? null,
    remaining_ms: left,
    deadline_ms: running ? deadline : null,
    ends_ms: over ? null : end(state, index, left, running ? deadline - left : now),
    again_ms: state.thunder_ms ? state.thunder_ms + THUNDER_MS : null,
  };
}

// The round being worked, or the next one; null behind the last.
export function roundAhead(state, index) {
  const ahead = state.segments.slice(index).find(([kind]) => kind === "work");
  return ahead ? ahead[2] : null;
}

// RFC 5905, section 8: a sample is [t0, t1, t2, t3].
export const offsetOf = ([t0, t1, t2, t3]) => (t1 - t0 + (t2 - t3)) / 2;
export const delayOf = ([t0, t1, t2, t3]) => t3 - t0 - (t2 - t1);

// From the quickest of the last eight samples: what to add to the phone's clock, and how far off that can be.
export function offset(samples) {
  const last = samples.slice(-LAST);
  if (!last.length) return null;
  const best = last.reduce((quickest, sample) => (delayOf(sample) < delayOf(quickest) ? sample : quickest));
  return { offset_ms: offsetOf(best), error_ms: Math.max(0, delayOf(best)) / 2 };
}

// Whether digits may be shown: after eight samples, or after two seconds with four.
export function enough(samples, waitedMs) {
  return samples >= LAST || (samples >= FEW && waitedMs >= FEW_AFTER_MS);
}

// Whole seconds as the digits show them: 0 only when nothing is left.
export function shownSeconds(remainingMs) {
  return Math.min(LONGEST_SHOWN_S, Math.ceil(remainingMs / 1000));
}

export function digits(remainingMs) {
  const seconds = shownSeconds(remainingMs);
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}

// The figure on the screen: a correction of the clock must not make it count up within one part.
export class Countdown {
  // part: names the part and the command it was placed by. Returns whole seconds.
  shown(part, remainingMs) {
    const before = this.part === part ? this.seconds : Infinity;
    Object.assign(this, { part, seconds: Math.min(shownSeconds(remainingMs), before) });
    return this.seconds;
  }

  forget() {
    this.part = null;
  }
}
