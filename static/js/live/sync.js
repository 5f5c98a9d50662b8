// The server's clock, seen from this phone. Its own clock is performance.now(), which no one sets by hand but which
// stands still while the phone sleeps: then all is forgotten and asked anew before digits are shown.
import { enough, offset } from "./clock.js";

const KEPT = 8;
const JUMP_MS = 250; // a larger correction is taken at once
const SLEW = 0.05; // a smaller one at most so fast: 50 ms a second
const SLEPT_MS = 1000;

export class Sync {
  constructor(now = () => performance.now(), wall = () => Date.now()) {
    this.now = now;
    this.wall = wall;
    this.restart();
  }

  restart() {
    this.samples = [];
    this.began = this.now();
    this.best = null;
    this.ready = false;
    this.markAwake();
  }

  markAwake() {
    this.gap = this.wall() - this.now();
  }

  // Whether the two clocks of the phone went apart: it slept, or somebody set the time.
  slept() {
    return Math.abs(this.wall() - this.now() - this.gap) > SLEPT_MS;
  }

  // One answer: t0 by this phone's clock, t1 and t2 by the server's; heard now.
  hear(t0, t1, t2) {
    if (t0 < this.began) return; // asked before the phone slept
    this.samples = [...this.samples, [t0, t1, t2, this.now()]].slice(-KEPT);
    this.best = offset(this.samples);
    if (!this.ready && this.settle()) this.slewed = this.best.offset_ms;
  }

  settle() {
    this.ready ||= enough(this.samples.length, this.now() - this.began);
    this.at = this.now();
    return this.ready;
  }

  // Milliseconds since 1970 on the server's clock, or null while that is not known well enough.
  serverNow() {
    if (!this.ready) {
      if (!this.best || !this.settle()) return null;
      this.slewed = this.best.offset_ms;
    }
    const now = this.now();
    const wanted = this.best.offset_ms - this.slewed;
    const step = (now - this.at) * SLEW;
    this.slewed += Math.abs(wanted) > JUMP_MS ? wanted : Math.max(-step, Math.min(step, wanted));
    this.at = now;
    return now + this.slewed;
  }

  get errorMs() {
    return this.best ? this.best.error_ms : null;
  }

  // What to add to this phone's wall clock.
  get wallOffset() {
    return this.slewed + this.now() - this.wall();
  }
}
