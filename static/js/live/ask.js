// Questions for the server's clock, a burst at a time: when told to, and again every minute. They go out one after the
// other without waiting for answers, so that a slow or lost one holds up nothing.
const ANSWERS = 8;
const MOST = 16;
const GAP_MS = 100;
const AGAIN_MS = 60_000;

export class Asker {
  // send(): ask once; false where nobody can be asked now.
  constructor(send) {
    this.send = send;
  }

  burst() {
    Object.assign(this, { asked: 0, answers: 0 });
    this.more();
  }

  more() {
    clearTimeout(this.next);
    if (this.answers >= ANSWERS || this.asked >= MOST) {
      this.next = setTimeout(() => this.burst(), AGAIN_MS);
    } else if (this.send()) {
      this.asked += 1;
      this.next = setTimeout(() => this.more(), GAP_MS);
    }
  }

  heard() {
    this.answers += 1;
  }
}
