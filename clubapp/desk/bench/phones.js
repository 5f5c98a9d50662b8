// An hour of a bell on many phones in a few seconds: the page's own clock, line, socket and poll run here on timers,
// sockets and requests of a simulated world. Every question and every answer is delayed and lost by lot.
import { Countdown, view } from "../../../static/js/live/clock.js";
import { Line } from "../../../static/js/live/line.js";
import { Sync } from "../../../static/js/live/sync.js";

const EPOCH_MS = 1_790_000_000_000;
const PAINT_MS = 250;
const DEAD_MS = 30_000; // so soon a server gives a silent socket up
const BIN_MS = 0.25;
const BINS = 40_000;

// --- lot (mulberry32, by Tommy Ettinger; public domain) and the queue of what happens ---------------------------------

const given = JSON.parse(document.getElementById("given").textContent);
let seed = given.seed >>> 0;

function lot() {
  seed = (seed + 0x6d2b79f5) >>> 0;
  let word = seed;
  word = Math.imul(word ^ (word >>> 15), word | 1);
  word ^= word + Math.imul(word ^ (word >>> 7), word | 61);
  return ((word ^ (word >>> 14)) >>> 0) / 4294967296;
}

const between = (least, most) => least + (most - least) * lot();
const onTheWay = () => given.least_ms - given.more_ms * Math.log(1 - lot());
const isLost = () => lot() < given.lost;

const world = { now: EPOCH_MS, heap: [], phone: null };

function swap(one, other) {
  [world.heap[one], world.heap[other]] = [world.heap[other], world.heap[one]];
}

function later(ms, call, phone = null) {
  return push({ at: world.now + Math.max(0, ms), call, phone });
}

function push(event) {
  world.heap.push(event);
  for (let at = world.heap.length - 1; at > 0; ) {
    const above = (at - 1) >> 1;
    if (world.heap[above].at <= world.heap[at].at) break;
    swap(above, at);
    at = above;
  }
  return event;
}

function soonest() {
  const { heap } = world;
  const [first] = heap;
  const last = heap.pop();
  if (!heap.length) return first;
  heap[0] = last;
  for (let at = 0; ; ) {
    const [left, right] = [2 * at + 1, 2 * at + 2];
    let least = at;
    if (left < heap.length && heap[left].at < heap[least].at) least = left;
    if (right < heap.length && heap[right].at < heap[least].at) least = right;
    if (least === at) return first;
    swap(at, least);
    at = least;
  }
}

// --- what a page finds around it --------------------------------------------------------------------------------------

Math.random = lot;
window.setTimeout = (call, ms) => later(ms, call, world.phone);
window.clearTimeout = (event) => { if (event) event.call = null; };
AbortSignal.timeout = () => null;

window.WebSocket = class {
  static OPEN = 1;

  constructor() {
    Object.assign(this, { readyState: 0, phone: world.phone });
    this.phone.socket = this;
    if (!isLost() && !isLost()) later(onTheWay() + onTheWay(), () => this.opens(), this.phone);
  }

  opens() {
    if (this.readyState !== 0) return;
    this.readyState = 1;
    this.onopen();
  }

  send(text) {
    if (!isLost()) later(onTheWay(), () => this.answered(JSON.parse(text)));
  }

  answered({ t0 }) {
    if (this.dead || isLost()) return;
    const answer = JSON.stringify({ type: "pong", t0, t1: world.now, t2: world.now, version: 1 });
    later(onTheWay(), () => { if (this.readyState === 1) this.onmessage({ data: answer }); }, this.phone);
  }

  close() {
    this.readyState = 3;
  }
};

window.fetch = () => new Promise((resolve, reject) => {
  const { phone } = world;
  const back = (t) => resolve({ ok: true, status: 200, type: "basic", json: async () => ({ type: "bell", t1: t, t2: t }) });
  later(4000, () => reject(new Error("too slow")), phone);
  if (!isLost()) later(onTheWay(), () => { const t = world.now; if (!isLost()) later(onTheWay(), () => back(t), phone); });
});

// --- a phone ----------------------------------------------------------------------------------------------------------

const segments = [["gather", 300, null]];
for (let round = 1; segments.reduce((sum, part) => sum + part[1], 0) < given.minutes * 60; round += 1) {
  segments.push(["work", 420, round], ["change", 45, round]);
}
const bell = { seq: 1, phase: "running", index: 0, since_ms: EPOCH_MS, deadline_ms: EPOCH_MS + 300_000, left_ms: 0, segments };
const end = EPOCH_MS + given.minutes * 60_000;
const tally = { bins: new Uint32Array(BINS), paints: 0, blank: 0, worst: 0, rises: 0, naps: 0, unsure: 0 };

class Phone {
  constructor(number) {
    Object.assign(this, { born: world.now, lost: 0, wakes: 0, countdown: new Countdown() });
    world.phone = this;
    this.rate = 1 + between(-given.drift_ppm, given.drift_ppm) / 1e6;
    this.wrong = between(-given.wrong_ms, given.wrong_ms);
    const elapsed = () => (world.now - this.born) * this.rate;
    this.sync = new Sync(() => elapsed() - this.lost, () => this.born + this.wrong + elapsed());
    const page = { words: { offline: "" }, note: () => {}, socket: "/", state: "/" };
    this.line = new Line(page, this.sync, { heard: () => {}, wall: () => "" });
    this.line.link.open();
    this.paint();
    // Every other phone sleeps once. On half of those the page's clock stands still meanwhile.
    if (number % 2 === 0) later(between(0.2, 0.8) * (end - world.now), () => this.sleep(number % 4 === 0), this);
  }

  sleep(stands) {
    const { socket } = this;
    this.wakes = world.now + given.slept_ms;
    if (stands) this.lost += given.slept_ms * this.rate;
    later(DEAD_MS, () => { socket.dead = true; });
    later(given.slept_ms + between(0, 300), () => this.line.wake(), this);
    this.waking = true;
    tally.naps += 1;
  }

  // As the board does four times a second; what is shown is held against the server's clock.
  paint() {
    later(PAINT_MS, () => this.paint(), this);
    const now = this.sync.serverNow();
    const { turn } = this.sync;
    if (this.waking && now !== null) tally.unsure += 1;
    this.waking = false;
    if (now === null) tally.blank += 1;
    else this.show(now, turn);
  }

  show(now, turn) {
    const seen = view(bell, now);
    const part = `${bell.seq}.${seen.index}`;
    if (turn !== this.turn || part !== this.part) Object.assign(this, { shown: -Infinity, seconds: Infinity, part });
    if (turn !== this.turn) this.countdown.forget();
    this.turn = turn;
    const seconds = this.countdown.shown(part, seen.remaining_ms);
    if (seconds > this.seconds) tally.rises += 1;
    this.seconds = seconds;
    // A figure that waits for the clock to come up to it shows the time at which it was reached.
    this.shown = Math.max(this.shown, now);
    this.count(Math.abs(this.shown - world.now));
  }

  count(off) {
    tally.paints += 1;
    tally.bins[Math.min(BINS - 1, Math.floor(off / BIN_MS))] += 1;
    if (off > tally.worst) tally.worst = off;
  }
}

// --- the hour ---------------------------------------------------------------------------------------------------------

function run(event) {
  if (event.call && event.phone?.wakes > event.at) {
    event.at = event.phone.wakes; // whatever was to happen on a phone that sleeps happens when it wakes
    push(event);
  } else if (event.call) {
    world.phone = event.phone;
    event.call();
  }
}

function percentile(share) {
  let seen = 0;
  for (let bin = 0; bin < BINS; bin += 1) {
    seen += tally.bins[bin];
    if (seen >= share * tally.paints) return (bin + 1) * BIN_MS;
  }
  return Infinity;
}

async function hour() {
  for (let number = 0; number < given.phones; number += 1) {
    later(between(0, 60_000), () => new Phone(number));
  }
  while (world.heap.length && world.heap[0].at <= end) {
    const event = soonest();
    world.now = event.at;
    run(event);
    for (let turn = 0; turn < 4; turn += 1) await null;
  }
}

await hour();
document.getElementById("found").textContent = JSON.stringify({
  phones: given.phones, minutes: given.minutes, looks: tally.paints, naps: tally.naps,
  median_ms: percentile(0.5), p95_ms: percentile(0.95), p99_ms: percentile(0.99), worst_ms: tally.worst,
  blank_share: tally.blank / (tally.blank + tally.paints), counted_up: tally.rises, shown_on_waking: tally.unsure,
});
