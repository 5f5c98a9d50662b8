// Twin of clubapp/results/measures.py, parse: what was typed in whole milliseconds or millimetres; null for nothing,
// NaN for what is no value. Both run tests/vectors/measures.json.
const THOUSANDTHS = { s: 1000, m: 1000, cm: 10 };
const MOST = { s: 3 * 3_600_000, m: 1_000_000, cm: 1_000_000 };
const NUMBER = /^[0-9]{1,6}(?:[.,][0-9]{1,6})?$/;
const CLOCK = /^([0-9]{1,3}):([0-5]?[0-9](?:[.,][0-9]{1,6})?)$/;
const SIGN = /\s*(?:s|m|cm)$/i;

const number = (text) => Number(text.replace(",", "."));

export function parse(text, unit) {
  const bare = text.trim().replace(SIGN, "");
  if (!text.trim()) return null;
  const clock = unit === "s" && CLOCK.exec(bare);
  if (!clock && !NUMBER.test(bare)) return NaN;
  const value = Math.round((clock ? 60 * Number(clock[1]) + number(clock[2]) : number(bare)) * THOUSANDTHS[unit]);
  return value >= 1 && value <= MOST[unit] ? value : NaN;
}

// What to ask about a value that looks impossible: [sentence's name, ...what it fills in], or null.
export function doubt(value, child, now) {
  const span = now.spans[child];
  const out = (now.least && value < now.least) || (now.most && value > now.most);
  if (span && (out || value < span[0] || value > span[1])) return ["typical", now.about, span[2], span[3]];
  return out && now.range ? ["range", now.about, ...now.range] : null;
}
