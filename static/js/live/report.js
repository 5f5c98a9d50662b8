// Sends what was tapped, by the outbox, and says at once when an alarm does not get through. What cannot be sent is
// kept and tried again by itself; the adult shouts meanwhile.
import { pending, put, sendSoon } from "../offline/outbox.js";
import { fill } from "./face.js";

const PATIENCE_MS = 3000;
const AGAIN_MS = 2000;
const ALARMS = ["missing", "help", "incident-head"];

export const age = (words, ms) => {
  const seconds = Math.max(0, Math.round(ms / 1000));
  return seconds < 60 ? fill(words.seconds, seconds) : fill(words.minutes, Math.floor(seconds / 60));
};

export class Reports {
  // note(text): said in passing. taken(): told when the club has something new from this phone.
  constructor(place, words, { note, taken }) {
    Object.assign(this, { place, words, note, taken });
    this.open = new Map(); // alarms on their way
    this.said = new Map(); // words about children that the club has not answered yet
    this.ended = new Set();
    document.addEventListener("fieldbell:outbox", ({ detail }) => this.heard(detail));
    setInterval(() => this.again(), AGAIN_MS);
    this.ready = this.recall();
  }

  async send({ kind, url, body, label }) {
    const row = { label, at: Date.now() };
    const isAlarm = ALARMS.includes(kind);
    if (isAlarm) {
      this.open.set(row, row); // the phone's own store may never answer
      setTimeout(() => this.show(), PATIENCE_MS);
    }
    const id = await put({ kind, url, body, label }).catch(() => null);
    if (id === null) return this.shout(row);
    this.open.delete(row); // from here on it goes by its id
    if (isAlarm && !this.ended.has(id)) this.open.set(id, row);
    if (!this.ended.has(id)) this.remember(id, body instanceof FormData ? [...body] : Object.entries(body));
    this.show();
    return id;
  }

  // The phone itself could keep nothing: not even later will it be sent.
  shout(row) {
    this.open.set(row, { ...row, at: row.at - PATIENCE_MS });
    this.show();
  }

  remember(id, pairs) {
    const { athlete, said, round, group } = Object.fromEntries(pairs);
    if (athlete && said) this.said.set(id, { athlete, said, round: Number(round), group: Number(group) });
  }

  // What a page that was closed had not sent yet.
  async recall() {
    for (const op of await pending().catch(() => [])) {
      if (op.state !== "waiting") continue;
      if (ALARMS.includes(op.kind)) this.open.set(op.op_id, { label: op.label, at: op.at });
      this.remember(op.op_id, op.body);
    }
    this.show();
  }

  heard({ op, state, answer }) {
    if (state === "waiting") return;
    this.ended.add(op.op_id);
    this.open.delete(op.op_id);
    this.said.delete(op.op_id);
    this.show();
    if (state === "refused") this.note(`${this.words.refused}${answer?.words ?? ""}`);
    if (state === "taken") this.taken(op, answer);
  }

  again() {
    if (!this.open.size) return;
    sendSoon();
    this.show();
  }

  show() {
    const late = [...this.open.values()].filter(({ at }) => Date.now() - at >= PATIENCE_MS);
    this.place.hidden = !late.length;
    const lines = late.map(({ label, at }) => {
      const line = document.createElement("p");
      line.append(label, Object.assign(document.createElement("span"), { textContent: age(this.words, Date.now() - at) }));
      return line;
    });
    // Said once: a line that only grows older must not be read out every two seconds.
    if (late.length && !this.place.firstChild) {
      this.place.append(Object.assign(document.createElement("b"), { textContent: this.words.unsent }));
    }
    if (!late.length) this.place.replaceChildren();
    else this.place.replaceChildren(this.place.firstChild, ...lines);
  }
}
