// How loud each alarm on the page is at this moment, for whom it is to be seen and how old it is. What sounds listens on
// document for "fieldbell:alarm", detail {level, what}: level "leader", "all" or "louder", said again and again while it
// rings on this phone, and "off" once when it ends. what: of the loudest.
import { age } from "./report.js";
import { ALL, LEADER, level } from "./levels.js";

const NAMES = ["off", "leader", "all", "louder"];
const LOOK_MS = 500;
const AGAIN_MS = [0, 4000, 4000, 2000];

export class Alarms {
  // told(): what the page was told; now(): the server's clock; round(): the one that is on.
  constructor(words, { told, now, round }) {
    Object.assign(this, { words, told, now, round, ringing: 0, said: -Infinity });
    setInterval(() => this.look(), LOOK_MS);
    document.addEventListener("visibilitychange", () => this.look());
    this.look();
  }

  look() {
    const { alarms, leads } = this.told();
    let loudest = null;
    for (const row of alarms) {
      row.level = level(row, this.now(), this.round());
      this.paint(row, leads);
      if (row.level >= (leads ? LEADER : ALL) && row.level > (loudest?.level ?? 0)) loudest = row;
    }
    this.ring(loudest);
  }

  paint(row, leads) {
    const element = document.querySelector(`[data-alarm="${row.id}"]`);
    if (!element) return;
    const name = NAMES[row.level];
    if (element.dataset.level !== name) element.dataset.level = name;
    element.hidden = !(leads || row.mine || row.what === "missing" || row.level >= ALL);
    const text = age(this.words, this.now() - row.at_ms);
    const place = element.querySelector("[data-age]");
    if (place.textContent !== text) place.textContent = text;
  }

  ring(row) {
    const before = this.ringing;
    this.ringing = row?.level ?? 0;
    const isDue = performance.now() - this.said >= AGAIN_MS[this.ringing];
    if (this.ringing === before && (!this.ringing || !isDue)) return;
    this.said = performance.now();
    const detail = { level: NAMES[this.ringing], what: row?.what ?? "" };
    document.dispatchEvent(new CustomEvent("fieldbell:alarm", { detail }));
    if (this.ringing > before) this.announce(row);
  }

  announce(row) {
    const region = document.querySelector("[data-say]");
    const title = document.querySelector(`[data-alarm="${row.id}"] b`);
    if (region && title) region.textContent = title.textContent;
  }
}
