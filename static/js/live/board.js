// What is seen of the bell, and what the page publishes of it for whoever wants to check a phone against another.
import { view } from "./clock.js";
import { showFitting } from "./controls.js";
import { Face } from "./face.js";
import { Speaker } from "./say.js";
import { Scene } from "./scene.js";

const PAINT_MS = 250;

export class Board {
  constructor(element, words, sync) {
    this.element = element;
    this.sync = sync;
    this.face = new Face(element, words);
    this.scene = new Scene(document);
    this.speaker = new Speaker(document.querySelector("[data-say]"), words);
    this.marks = {};
  }

  // Paint now, and again just behind the next whole second, so that all phones change their figure together.
  show(bell) {
    clearTimeout(this.next);
    const now = this.sync.serverNow();
    if (this.turn !== this.sync.turn) this.face.countdown.forget();
    this.turn = this.sync.turn;
    const seen = view(bell.state, now ?? this.sync.guess(bell.now_ms));
    if (now === null && seen.phase === "running") this.wait(bell, seen);
    else this.paint(bell.state, seen);
    showFitting(bell.state, seen, now, this.marks);
    if (now !== null) this.publish(seen, bell.version);
    this.next = setTimeout(() => this.show(bell), Math.min(PAINT_MS, (seen.remaining_ms % 1000) + 2));
  }

  // Before the clock is known: what the club said last, without figures; nothing if that was long ago.
  wait(bell, seen) {
    if (this.sync.isOld(bell.now_ms)) this.face.blank();
    else {
      this.face.paint(bell.state, seen, false);
      this.scene.show(bell.state, seen);
    }
  }

  // What came in anew stands as it was sent: show what fits now.
  fit(bell) {
    this.marks = {};
    this.show(bell);
  }

  paint(state, seen) {
    this.face.paint(state, seen);
    this.scene.show(state, seen);
    this.speaker.watch(state, seen);
    this.stop?.show(state, seen);
  }

  // deadline: of the part that runs, by the server's clock. localDeadline: the same instant by this phone's own clock,
  // which is what the figures are counted to. offset: server's clock minus this phone's. errorMs: how far off that can
  // be, half the least round trip.
  publish(seen, version) {
    const { dataset } = this.element;
    const { wallOffset } = this.sync;
    dataset.known = this.sync.ready ? "asked" : "by wall";
    dataset.deadline = seen.deadline_ms ?? "";
    dataset.localDeadline = seen.deadline_ms === null ? "" : String(seen.deadline_ms - wallOffset);
    dataset.offset = String(wallOffset);
    dataset.errorMs = String(this.sync.errorMs);
    dataset.phase = seen.phase;
    dataset.part = seen.kind;
    dataset.version = String(version);
  }
}
