// What a phone needs to go on when its page is loaded anew without a network: the bell as it last was, and how wrong its
// own wall clock is. Holds nobody's name; the clock of one session at a time.
const NAME = "fieldbell.bell";

// {bell, wallOffset}, or null.
export function recall(session) {
  try {
    const kept = JSON.parse(localStorage.getItem(NAME));
    return kept?.session === session ? kept : null;
  } catch {
    return null;
  }
}

export function keep(session, bell, wallOffset) {
  try {
    localStorage.setItem(NAME, JSON.stringify({ session, bell, wallOffset }));
  } catch {
    // Storage is full or switched off: the page goes on as long as it stays open.
  }
}

export function forget() {
  try {
    localStorage.removeItem(NAME);
  } catch {
    // Nothing was kept.
  }
}
