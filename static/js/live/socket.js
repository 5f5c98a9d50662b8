// The line to the server: heartbeat, reconnecting with patience, closed while the page is put away.
const BEAT_MS = 10_000;
const ANSWER_MS = 4000;
const WAKE_MS = 2000;
const OPEN_MS = 5000;
const LEAST_MS = 500;
const MOST_MS = 15_000;
export const FOR_GOOD = [4001, 4003];

export class Link {
  // heard(message), opened(), lost(), gone(code): told about it. ping(): what to say for a heartbeat.
  constructor(address, hooks) {
    this.address = address;
    this.hooks = hooks;
    this.failures = 0;
    this.stopped = false;
  }

  get isOpen() {
    return this.socket?.readyState === WebSocket.OPEN;
  }

  open() {
    if (this.stopped || this.socket) return;
    clearTimeout(this.retry);
    const socket = new WebSocket(this.address);
    this.socket = socket;
    this.deadline = setTimeout(() => this.drop(socket), OPEN_MS);
    socket.onopen = () => this.opened();
    socket.onmessage = (event) => this.heard(event.data);
    socket.onclose = (event) => this.closed(socket, event.code);
  }

  opened() {
    clearTimeout(this.deadline);
    this.failures = 0;
    this.hooks.opened();
    this.beat();
  }

  heard(text) {
    const message = JSON.parse(text);
    if (message.type === "pong") clearTimeout(this.deadline);
    this.hooks.heard(message);
  }

  // Ask for a sign of life; without one the line is dead, whatever the phone believes.
  beat(wait = ANSWER_MS) {
    clearTimeout(this.next);
    if (!this.isOpen) return;
    const { socket } = this;
    clearTimeout(this.deadline);
    this.deadline = setTimeout(() => this.drop(socket), wait);
    this.send(this.hooks.ping());
    this.next = setTimeout(() => this.beat(), BEAT_MS);
  }

  send(message) {
    if (!this.isOpen) return false;
    this.socket.send(JSON.stringify(message));
    return true;
  }

  drop(socket) {
    if (socket !== this.socket) return;
    socket.onclose = null;
    socket.close();
    this.closed(socket, 0);
  }

  closed(socket, code) {
    if (socket !== this.socket) return;
    this.quiet();
    if (FOR_GOOD.includes(code)) {
      this.stopped = true;
      this.hooks.gone(code);
      return;
    }
    this.hooks.lost();
    this.again();
  }

  // Full jitter: a hall full of phones must not come back in the same moment.
  again() {
    if (this.stopped || document.hidden) return;
    const most = Math.min(MOST_MS, LEAST_MS * 2 ** this.failures);
    this.failures += 1;
    clearTimeout(this.retry);
    this.retry = setTimeout(() => this.open(), LEAST_MS + Math.random() * (most - LEAST_MS));
  }

  quiet() {
    clearTimeout(this.deadline);
    clearTimeout(this.next);
    clearTimeout(this.retry);
    this.socket = null;
  }

  // The page is put away: an open line would come back broken.
  rest() {
    const { socket } = this;
    this.quiet();
    if (!socket) return;
    socket.onclose = null;
    socket.close();
  }

  wake() {
    if (this.isOpen) this.beat(WAKE_MS);
    else if (!this.socket) this.open();
  }
}
