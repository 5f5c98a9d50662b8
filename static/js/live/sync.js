// The server's clock, seen from this phone. Its own clock is performance.now(), which no one sets by hand but which
// stands still while the phone sleeps: then all is forgotten and asked anew before digits are shown.
import { enough, offset } from "./clock.js";

const KEPT = 8;
const JUMP_MS = 250; // a larger correction is taken at once
const SLEW = 0.05; // a smaller one at most so fast: 50 ms a second
const STALL_MS = 150; // an answer that may be wrong by less is always taken
const AGEING = 0.0002; // what is known gets worse by so much: more than clocks drift
const SLEPT_MS = 1000;
const OLD_MS = 600_000; // more than a phone's own clock is off
const SILENT_MS = 30_000; // whoever did not even paint for so long was asleep

export class Sync {
  // Told when the clock was lost: restarted(). turn: how often it was found anew.
  constructor(now = () => performance.now(), wall = () => Date.now()) {
    Object.assign(this, { now, wall, turn: 0, ready: false, byWall: null, alone: false });
    this.restart();
  }

  restart() {
    Object.assign(this, { samples: [], began: this.now(), best: null, ready: false, looked: this.now() });
    this.gap = this.wall() - this.now();
    this.restarted?.();
  }

  // The phone slept, or somebody set the time: its two clocks went apart, or nobody looked for long.
  slept() {
    const apart = Math.abs(this.wall() - this.now() - this.gap) > SLEPT_MS;
    return apart || this.now() - this.looked > SILENT_MS;
  }

  // One answer: t0 by this phone's clock, t1 and t2 by the server's; heard now.
  hear(t0, t1, t2) {
    if (t0 < this.began) return; // asked before the phone slept
    const sample = [t0, t1, t2, this.now()];
    if (this.stalled(sample)) return;
    this.samples = [...this.samples, sample].slice(-KEPT);
    this.best = offset(this.samples);
    this.settle();
  }

  // A network that hangs, or a server that starts anew, answers a whole burst late. Eight such answers would push out
  // all that is known, and the figures jump by seconds.
  stalled(sample) {
    if (!this.ready) return false;
    const { error_ms: late } = offset([sample]);
    return late > STALL_MS && late > this.best.error_ms + (sample[3] - this.samples.at(-1)[3]) * AGEING;
  }

  settle() {
    if (this.ready || !this.best || !enough(this.samples.length, this.now() - this.began)) return;
    Object.assign(this, { ready: true, alone: false, slewed: this.best.offset_ms, at: this.now(), turn: this.turn + 1 });
  }

  // While nobody can be asked, a phone that sleeps goes by its wall clock with what was last known of it.
  goAlone() {
    this.alone = true;
  }

  // Somebody answers again. A phone that slept meanwhile goes by its wall clock until it has asked enough.
  hasCompany() {
    if (this.ready) this.alone = false;
  }

  // Milliseconds since 1970 on the server's clock, or null while that is not known well enough.
  serverNow() {
    if (this.slept()) this.restart();
    this.looked = this.now();
    this.settle();
    if (!this.ready) return this.alone ? this.byWallNow() : null;
    this.slew();
    return this.now() + this.slewed;
  }

  // Good enough for the part that runs, not for figures: by this phone's wall clock, or the instant that was told.
  guess(toldMs) {
    return this.byWallNow() ?? toldMs;
  }

  // By this phone's wall clock with what was last known of it, or null.
  byWallNow() {
    return this.byWall === null ? null : this.wall() + this.byWall;
  }

  // Told so long ago, by a clock never asked, that nothing of it may hold.
  isOld(toldMs) {
    return this.byWall === null && Math.abs(this.wall() - toldMs) > OLD_MS;
  }

  slew() {
    const now = this.now();
    const wanted = this.best.offset_ms - this.slewed;
    const step = (now - this.at) * SLEW;
    this.slewed += Math.abs(wanted) > JUMP_MS ? wanted : Math.max(-step, Math.min(step, wanted));
    this.at = now;
    this.byWall = now + this.slewed - this.wall();
  }

  get errorMs() {
    return this.best ? this.best.error_ms : null;
  }

  // What to add to this phone's wall clock; null while nothing was ever known.
  get wallOffset() {
    return this.ready ? this.now() + this.slewed - this.wall() : this.byWall;
  }
}
