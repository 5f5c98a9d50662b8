// One button under the clock says how things stand; behind it each means with its true state, and the test.
import { fill } from "../face.js";
import { MEANS } from "./means.js";
import { SIGNALS, lengthOf } from "./signals.js";

const TEST = ["start", "ten", "move", "water", "stop", "leader"];
const BETWEEN_MS = 900;
const SCALE = 0.05; // of the picture: pixels a millisecond
const SVG = "http://www.w3.org/2000/svg";

function picture(signal) {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", `0 0 ${Math.ceil(lengthOf(signal) * SCALE)} 12`);
  svg.setAttribute("height", "12");
  for (const [at, length] of SIGNALS[signal]) {
    const bar = document.createElementNS(SVG, "rect");
    const box = { x: at * SCALE, y: 0, width: length * SCALE, height: 12 };
    for (const [name, value] of Object.entries(box)) bar.setAttribute(name, value);
    svg.append(bar);
  }
  return svg;
}

export class Sheet {
  constructor(place, words, means) {
    Object.assign(this, { place, words, means, timers: [] });
    this.dialog = document.querySelector("[data-sound-sheet]");
    place.querySelector("[data-sound-open]").addEventListener("click", () => this.open());
    this.dialog.querySelector("[data-sound-shut]").addEventListener("click", () => this.dialog.close());
    this.dialog.querySelector("[data-sound-test]").addEventListener("click", () => this.test());
    this.dialog.addEventListener("close", () => this.quiet());
    for (const button of this.dialog.querySelectorAll("[data-mean]")) button.addEventListener("click", () => this.turn(button.dataset.mean));
    for (const row of this.dialog.querySelectorAll("[data-signal]")) row.querySelector("[data-rhythm]").append(picture(row.dataset.signal));
    place.hidden = false;
    this.show();
  }

  // The first tap ever chooses all four: that is what the button is for.
  open() {
    if (!this.means.chosen) for (const mean of MEANS) this.means.choose(mean, true);
    this.dialog.showModal();
    this.dialog.querySelector("h2").focus();
    this.show();
  }

  turn(mean) {
    this.means.choose(mean, !this.means.wants(mean));
    this.means.tapped();
  }

  show() {
    const states = Object.fromEntries(MEANS.map((mean) => [mean, this.means.state(mean)]));
    const line = this.words.line[this.means.chosen && states.sound] ?? this.words.line.ask;
    const on = MEANS.filter((mean) => mean !== "sound" && states[mean] === "on").map((mean) => this.words.names[mean]);
    const more = this.means.chosen ? (on.length ? fill(this.words.also, on.join(", ")) : this.words.alone) : "";
    this.put(this.place.querySelector("[data-sound-line]"), line);
    this.put(this.place.querySelector("[data-sound-more]"), more);
    this.place.dataset.sound = states.sound;
    for (const mean of MEANS) this.row(mean, states[mean]);
  }

  row(mean, state) {
    this.put(this.dialog.querySelector(`[data-mean-state="${mean}"]`), this.words.states[`${mean}_${state}`] ?? this.words.states[state]);
    const button = this.dialog.querySelector(`[data-mean="${mean}"]`);
    const able = !["cannot", "https"].includes(state);
    button.hidden = !able;
    this.put(button.querySelector("[data-mean-word]"), this.means.wants(mean) ? this.words.turn_off : this.words.turn_on);
  }

  put(element, text) {
    if (element.textContent !== text) element.textContent = text;
  }

  // One after the other, put on the audio clock at once; the rows and the hand go along.
  test() {
    this.quiet();
    this.means.refused.buzz = false;
    let at = 100;
    for (const signal of TEST) {
      const sound = this.means.playing?.play(signal, at);
      const timer = setTimeout(() => this.mark(signal), at);
      this.timers.push(() => { clearTimeout(timer); sound?.stop(); });
      at += lengthOf(signal) + BETWEEN_MS;
    }
    const last = setTimeout(() => { this.mark(""); this.means.say(this.words.spoken_test); }, at);
    this.timers.push(() => clearTimeout(last));
  }

  mark(signal) {
    for (const row of this.dialog.querySelectorAll("[data-signal]")) row.toggleAttribute("data-now", row.dataset.signal === signal);
    if (signal) this.means.buzz(signal);
  }

  quiet() {
    for (const end of this.timers.splice(0)) end();
    this.mark("");
  }
}
