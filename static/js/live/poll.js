// The bell by ordinary requests, for networks that block sockets and for the moment a socket is lost.
const EVERY_MS = 10_000;
const FIRST_MS = 500; // until the clock is known
const PATIENCE_MS = 4000;

// {bell, t0}; or {gone: code} when this phone may not ask any more, with the code a socket would close with; or null
// when nothing came.
export async function fetchState(address, now) {
  const t0 = now();
  try {
    const signal = AbortSignal.timeout(PATIENCE_MS);
    const answer = await fetch(address, { redirect: "manual", headers: { Accept: "application/json" }, signal });
    if (answer.status === 401) return { gone: 4001 };
    if (answer.status === 404 || answer.status === 403) return { gone: 4003 };
    return answer.ok ? { bell: await answer.json(), t0 } : null;
  } catch {
    return null;
  }
}

export class Poll {
  // took(answer): told what came; failed(): nothing came. isReady(): whether the clock is known.
  constructor(address, now, hooks) {
    Object.assign(this, { address, now, hooks, on: false });
  }

  start() {
    if (this.on) return;
    this.on = true;
    this.ask();
  }

  stop() {
    this.on = false;
    clearTimeout(this.next);
  }

  async ask() {
    const answer = await fetchState(this.address, this.now);
    if (!this.on) return;
    if (answer) this.hooks.took(answer);
    else this.hooks.failed();
    if (this.on) this.next = setTimeout(() => this.ask(), answer && !this.hooks.isReady() ? FIRST_MS : EVERY_MS);
  }
}
