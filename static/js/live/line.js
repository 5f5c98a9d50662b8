// Socket first, ordinary requests while there is none; asks for the server's clock whenever it may have been lost.
import { Asker } from "./ask.js";
import { fill } from "./face.js";
import { Poll, fetchState } from "./poll.js";
import { Link } from "./socket.js";

export class Line {
  // heard(message): what came. wall(ms): an instant on the club's clock. page: words and addresses.
  constructor(page, sync, { heard, wall }) {
    Object.assign(this, { page, sync, told: heard, wall, lostAt: null });
    const now = () => sync.now();
    const scheme = location.protocol === "https:" ? "wss:" : "ws:";
    this.link = new Link(`${scheme}//${location.host}${page.socket}`, {
      ping: () => ({ type: "ping", t0: now() }),
      opened: () => this.opened(),
      heard: (message) => this.heard(message),
      lost: () => this.poll.start(),
      gone: (code) => this.gone(code),
    });
    this.asker = new Asker(() => !document.hidden && this.link.send({ type: "ping", t0: now() }));
    const isReady = () => sync.ready;
    this.poll = new Poll(page.state, now, { took: (answer) => this.polled(answer), failed: () => this.lose(), isReady });
    sync.restarted = () => this.asker.burst();
  }

  // The page is looked at again, or the network is back: ask at once. Put away: close, it would come back broken.
  listen() {
    for (const [target, name] of [[document, "visibilitychange"], [window, "pageshow"], [window, "online"]]) {
      target.addEventListener(name, () => this.wake());
    }
    window.addEventListener("offline", () => this.link.beat());
    window.addEventListener("pagehide", () => this.link.rest());
  }

  opened() {
    this.poll.stop();
    this.find();
    this.asker.burst();
  }

  heard(message) {
    if (message.type === "pong") {
      this.sync.hear(message.t0, message.t1, message.t2);
      this.asker.heard();
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

  // Said once, not at every try; the clock needs no network to go on.
  lose() {
    this.sync.goAlone();
    if (this.lostAt !== null) return;
    this.lostAt = this.sync.wall() + (this.sync.wallOffset ?? 0);
    this.page.note(fill(this.page.words.offline, this.wall(this.lostAt)));
  }

  find() {
    this.sync.hasCompany();
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
    this.page.ended();
    const signedOut = code === 4001 && !this.page.pass;
    this.page.note(signedOut ? this.page.words.signed_out : this.page.words.gone);
    for (const place of document.querySelectorAll("[data-inside]")) place.replaceChildren();
  }

  wake() {
    if (document.hidden) return;
    if (this.sync.slept()) this.sync.restart();
    this.link.wake();
    this.asker.burst();
  }
}
