// What the stop-watch has taken: runs of many, the child being timed, and each child's times. Plain data that a reload
// brings back; told the moment and the ids, it reads no clock and no page. `at` is in steady milliseconds.
const ALIVE = ["", "slipped"];

export const fresh = () => ({
  mode: "many", test: "", who: "", seen: 0, heats: [], results: [], ops: [],
  one: { child: "", start: null, gap: 0, redo: "", last: "" },
});

// --- one start, many finishers ---

export const openHeat = (tape) => tape.heats.find((heat) => !heat.closed) ?? null;
export const unnamed = (heat) => heat.rows.filter((row) => !row.result && !row.dropped);
export const loose = (tape) => tape.heats.filter((heat) => heat.closed).flatMap(unnamed);
export const heatOf = (tape, row) => tape.heats.find((heat) => heat.rows.includes(row));

export function startHeat(tape, { id, at, gap, test }) {
  tape.heats.push({ id, test, start: at, gap, over: false, closed: false, rows: [] });
}

// Whole milliseconds; who it was comes later. Nothing before the start.
export function finish(tape, { id, at, doubt = false }) {
  const heat = openHeat(tape);
  if (!heat || heat.over || at <= heat.start) return null;
  const row = { id, ms: Math.max(1, Math.round(at - heat.start)), at, doubt, result: "", dropped: false };
  heat.rows.push(row);
  return row;
}

// Only what nobody has been named for yet.
export function takeBack(tape) {
  const heat = openHeat(tape);
  const last = heat?.rows.at(-1);
  if (last && !last.result) heat.rows.pop();
}

// Two came in on one tap.
export function twin(tape, row, id) {
  const { rows } = heatOf(tape, row);
  rows.splice(rows.indexOf(row) + 1, 0, { ...row, id, result: "" });
}

// --- times of children ---

export const byId = (tape, id) => tape.results.find((one) => one.id === id) ?? null;
export const timesOf = (tape, child, test) =>
  tape.results.filter((one) => one.child === child && one.test === test && ALIVE.includes(one.state));

// known: how many attempts of this child the club had heard of.
export function attemptOf(tape, child, test, known = 0) {
  return 1 + timesOf(tape, child, test).reduce((most, one) => Math.max(most, one.attempt), known);
}

// A new time; of a run that is done again it takes the place of the old one.
export function keep(tape, result, old = null) {
  const made = { attempt: 1, state: "", doubt: false, sent: "waiting", said: "", text: "", watches: 1, fixes: [], ...result };
  if (old) old.state = "replaced";
  tape.results.push(made);
  tape.ops.push({ op: made.id, result: made.id, state: "", replaces: old ? old.id : "" });
  return made;
}

// Slipped, counting after all, or a mistake: said after it, never instead of it.
export function say(tape, result, state, op) {
  Object.assign(result, { state, sent: "waiting", said: "" });
  result.fixes.push(op);
  tape.ops.push({ op, result: result.id, state, replaces: result.id });
}

// What became of a write. `answer`: as the outbox tells it.
export function heard(tape, op, state, answer) {
  const result = tape.results.find((one) => one.id === op || one.fixes.includes(op));
  if (!result) return null;
  if (state === "dropped" && result.id === op) result.state = "void";
  result.sent = state;
  result.said = state === "refused" ? answer?.words ?? "" : "";
  if (state === "taken" && answer?.data?.text) Object.assign(result, { text: answer.data.text, watches: answer.data.watches });
  return result;
}

// Whose name a finisher gets; a name given before is taken back first. `make` gives new ids.
export function nameRow(tape, row, child, { make, known = 0 }) {
  const before = byId(tape, row.result);
  if (before) say(tape, before, "void", make());
  row.result = "";
  if (!child) return;
  const { test } = heatOf(tape, row);
  const attempt = attemptOf(tape, child, test, known);
  row.result = keep(tape, { id: make(), child, test, ms: row.ms, at: row.at, attempt, doubt: row.doubt }).id;
}
