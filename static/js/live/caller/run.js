// Calls what was drawn, each at its own moment of a clock that nobody sets by hand.
import { trials } from "../cues.js";

const LEAD_MS = 2000; // the phone is put where children see it
const SHOWN_MS = 1600;
const DARK_MS = 250; // the same cue twice must be seen to come twice

export class Run {
  // told: {cue(word, number), dark(), over()}.
  constructor(problem, seed, told) {
    Object.assign(this, { problem, told, called: 0, timers: new Set(), drawn: trials(problem, seed) });
    this.began = performance.now() + LEAD_MS;
    this.next();
  }

  at(ms, act) {
    const timer = setTimeout(() => { this.timers.delete(timer); act(); }, Math.max(0, this.began + ms - performance.now()));
    this.timers.add(timer);
  }

  // The wait after a cue is drawn when the cue is called: no sooner does anything of it exist.
  next() {
    const [, at, word] = this.drawn.next().value;
    this.at(at, () => (word === null ? this.next() : this.call(at, word)));
    return at;
  }

  call(at, word) {
    this.called += 1;
    this.told.cue(word, this.called);
    if (this.called < this.problem.count) {
      this.at(Math.min(at + SHOWN_MS, this.next() - DARK_MS), () => this.told.dark());
      return;
    }
    this.at(at + SHOWN_MS, () => this.told.over());
  }

  stop() {
    for (const timer of this.timers) clearTimeout(timer);
    this.timers.clear();
  }
}
