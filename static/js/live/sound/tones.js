// Signals as sound: our own notes, put on the audio clock ahead of time. That clock goes on when the page is busy.
import { SIGNALS } from "./signals.js";

const EDGE_S = 0.006; // a note that begins or ends at once clicks
const LEVEL = 0.32;
const LOUDER = 0.55;

export class Tones {
  constructor(context) {
    this.context = context;
    // Two signals at once must not crackle.
    this.out = context.createDynamicsCompressor();
    this.out.connect(context.destination);
  }

  // The audio clock's instant at which something must begin to be heard so many milliseconds from now.
  at(inMs) {
    const { currentTime, outputLatency = 0 } = this.context;
    return Math.max(currentTime, currentTime + inMs / 1000 - outputLatency);
  }

  // Returns {when, end, stop()}, instants of the audio clock.
  play(signal, inMs = 0) {
    const when = this.at(inMs);
    const level = ["stop", "all", "louder"].includes(signal) ? LOUDER : LEVEL;
    const made = SIGNALS[signal].map(([from, length, hertz]) => this.note(when + from / 1000, length / 1000, hertz, level));
    const end = Math.max(...made.map((note) => note.end));
    return { when, end, stop: () => made.forEach((note) => note.stop()) };
  }

  note(begin, seconds, hertz, level) {
    const oscillator = this.context.createOscillator();
    const gain = this.context.createGain();
    const end = begin + seconds;
    oscillator.type = "square"; // rich in overtones, which carry further than a pure tone of the same strength
    oscillator.frequency.value = hertz;
    gain.gain.setValueAtTime(0, begin);
    gain.gain.linearRampToValueAtTime(level, begin + EDGE_S);
    gain.gain.setValueAtTime(level, end - EDGE_S);
    gain.gain.linearRampToValueAtTime(0, end);
    oscillator.connect(gain);
    gain.connect(this.out);
    oscillator.start(begin);
    oscillator.stop(end + EDGE_S);
    oscillator.onended = () => gain.disconnect();
    const stop = () => {
      oscillator.stop();
      gain.disconnect();
    };
    return { end, stop };
  }
}
