// When a game was begun on this phone: its page may have been kept from before that. By the address that takes what is
// tapped and by the phone's own clock; nobody's name.
const NAME = "fieldbell.begun";
const LONG_MS = 12 * 3_600_000;

function all() {
  try {
    const rows = Object.entries(JSON.parse(localStorage.getItem(NAME)) ?? {});
    return Object.fromEntries(rows.filter(([, at]) => Date.now() - at < LONG_MS));
  } catch {
    return {};
  }
}

function write(rows) {
  try {
    localStorage.setItem(NAME, JSON.stringify(rows));
  } catch {
    // Not kept: the game goes on as soon as the club has it.
  }
}

export const begunAt = (url) => all()[url] ?? null;
export const begin = (url) => write({ [url]: Date.now(), ...all() }); // a second tap does not begin it again
export const forget = (url) => write({ ...all(), [url]: undefined });
