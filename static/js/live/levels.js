// When something rings, and for whom; the twin of clubapp/live/ringing.py. Both run tests/vectors/alarms.json.
export const QUIET = 0;
export const LEADER = 1;
export const ALL = 2;
export const LOUDER = 3;

const PATIENCE_MS = 20_000;
const AWAY_MS = 300_000;
const DELAY_MS = { missing: 0, away: AWAY_MS, short: 30_000, help: 0, hurt: 0 };

function isNextRound(row, round) {
  if (row.what !== "missing" || row.round === null || round === null) return false;
  return round > Math.max(row.round, row.heard_round ?? 0);
}

export function level(row, now, round = null) {
  if (isNextRound(row, round)) return LOUDER;
  const loud = row.at_ms + DELAY_MS[row.what];
  if (row.heard_ms !== null && row.heard_ms >= loud) {
    return row.what === "away" && now >= row.heard_ms + AWAY_MS ? LEADER : QUIET;
  }
  if (now < loud) return QUIET;
  return now >= Math.max(loud, row.received_ms) + PATIENCE_MS ? ALL : LEADER;
}
