// Socket first, ordinary requests while there is none; asks for the server's clock whenever it may have been lost.
import { fill } from "./face.js";
import { Poll, fetchState } from "./poll.js";
import { Link } from "./socket.js";

const BURST = 8;
const BURST_GAP_MS = 40;
const RESYNC_MS = 60_000;

export class Line {
  // heard(message): what came. wall(ms): an instant on the club's clock. page: words and addresses.
  constructor(page, sync, { heard, wall }) {
    Object.assign(this, { page, sync, told: heard, wall, burst: 0, lostAt: null });
    const now = () => sync.now();
    const scheme = location.protocol === "https:" ? "wss:" : "ws:";
    this.link = new Link(`${scheme}//${location.host}${page.socket}`, {
      ping: () => ({ type: "ping", t0: now() }),
      opened: () => this.opened(),
      heard: (message) => this.heard(message),
      lost: () => this.poll.start(),
      gone: (code) => this.gone(code),
    });
    const isReady = () => sync.ready;
    this.poll = new Poll(page.state, now, { took: (answer) => this.polled(answer), failed: () => this.lose(), isReady });
    for (const [target, name] of [[document, "visibilitychange"], [window, "pageshow"], [window, "online"]]) {
      target.addEventListener(name, () => this.wake());
    }
    window.addEventListener("pagehide", () => this.link.rest());
    setInterval(() => this.askClock(), RESYNC_MS);
  }

  opened() {
    this.poll.stop();
    this.find();
    this.askClock();
  }

  heard(message) {
    if (message.type === "pong") {
      this.sync.hear(message.t0, message.t1, message.t2);
      if (this.burst > 0) setTimeout(() => this.more(), BURST_GAP_MS);
    }
    this.told(message);
  }

  polled(answer) {
    if (answer.gone) {
      this.end(answer.gone);
      return;
    }
    this.sync.hear(answer.t0, answer.bell.t1, answer.bell.t2);
    this.find();
    this.told(answer.bell);
  }

  askClock() {
    if (document.hidden || !this.link.isOpen) return;
    this.burst = BURST;
    this.more();
  }

  more() {
    if (this.burst > 0 && this.link.send({ type: "ping", t0: this.sync.now() })) this.burst -= 1;
  }

  // Said once, not at every try; the clock needs no network to go on.
  lose() {
    if (this.lostAt !== null) return;
    this.lostAt = Date.now() + (this.sync.ready ? this.sync.wallOffset : 0);
    this.page.note(fill(this.page.words.offline, this.wall(this.lostAt)));
  }

  find() {
    this.lostAt = null;
    this.page.note("");
  }

  // Closed for good; unless this phone is still let in, because only another place was signed out.
  async gone(code) {
    this.poll.stop();
    const answer = await fetchState(this.page.state, () => this.sync.now());
    if (answer?.bell) {
      this.link.stopped = false;
      this.link.again();
      return;
    }
    this.end(answer?.gone ?? code);
  }

  // Nothing more is heard here, and no name stays on the screen; the clock goes on.
  end(code) {
    this.poll.stop();
    this.link.stopped = true;
    this.link.rest();
    document.documentElement.dataset.gone = String(code);
    const signedOut = code === 4001 && !this.page.pass;
    this.page.note(signedOut ? this.page.words.signed_out : this.page.words.gone);
    for (const place of document.querySelectorAll("[data-inside]")) place.replaceChildren();
  }

  wake() {
    if (document.hidden) return;
    if (this.sync.slept()) this.sync.restart();
    this.link.wake();
    this.askClock();
  }
}
