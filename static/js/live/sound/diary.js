// What was put on the audio clock, kept in step with the bell: what is not due any more is taken off, what moved is put
// on anew, what has begun sounds to its end.
const APART_S = 0.04; // the two clocks are read one after the other and go in steps
const JUST_MS = 300; // due again so soon after it began: the same one

export class Diary {
  constructor(tones) {
    Object.assign(this, { tones, put: new Map() });
  }

  // moments: of signals.js, all from now on; now: the same server's clock.
  keep(moments, now) {
    const due = new Map(moments.map((one) => [`${one.signal}.${one.index}`, one]));
    for (const [key, one] of this.put) this.review(key, one, due.get(key), now);
    for (const [key, { signal, at }] of due) {
      if (!this.put.has(key)) this.put.set(key, this.tones.play(signal, at - now));
    }
  }

  review(key, one, wanted, now) {
    const left = wanted ? wanted.at - now : Infinity;
    if (one.when <= this.tones.context.currentTime) {
      if (left > JUST_MS) this.put.delete(key);
    } else if (Math.abs(this.tones.at(left) - one.when) > APART_S) {
      one.stop();
      this.put.delete(key);
    }
  }

  clear() {
    for (const one of this.put.values()) if (one.when > this.tones.context.currentTime) one.stop();
    this.put.clear();
  }
}
