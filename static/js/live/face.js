// Paints the scoreboard from a view: field, word, figures, ring, round and end. Touches only what changed.
import { Countdown, digits, roundAhead, shownSeconds } from "./clock.js";
import { draw } from "./glyphs.js";

const RING_S = 10;
const SIGN = "STOP"; // drawn, not read; what is read comes from the page's words
const FIELDS = { work: "work", game: "work", "warm-up": "work", change: "move", water: "water" };

export const fill = (sentence, ...values) => values.reduce((text, value) => text.replace("%s", value), sentence);

function fieldOf(seen) {
  if (seen.phase !== "running") return seen.phase;
  return FIELDS[seen.kind] ?? (seen.kind === "over" ? "over" : "still");
}

function put(element, text) {
  if (element && element.textContent !== text) element.textContent = text;
}

export class Face {
  constructor(element, words) {
    this.element = element;
    this.words = words;
    this.countdown = new Countdown();
    this.page = document.documentElement;
    const find = (name) => element.querySelector(`[data-face-${name}]`);
    this.parts = Object.fromEntries(["word", "digits", "time", "round", "left", "ends", "ring"].map((name) => [name, find(name)]));
    this.clock = new Intl.DateTimeFormat(document.documentElement.lang, {
      hour: "2-digit", minute: "2-digit", hourCycle: "h23", timeZone: element.dataset.zone,
    });
  }

  wall(ms) {
    return this.clock.format(new Date(ms));
  }

  // Nothing is known of the part that runs.
  blank() {
    if (!this.element.isConnected) return this.leave();
    this.page.dataset.face = "setting";
    put(this.parts.word, "");
    put(this.parts.round, "");
    this.wait();
  }

  // The session has left this phone: what says so stands on plain paper.
  leave() {
    delete this.page.dataset.face;
  }

  // No figures; their place says what they wait for.
  wait() {
    this.countdown.forget();
    this.parts.digits.hidden = false;
    this.parts.digits.replaceChildren();
    delete this.parts.digits.dataset.text;
    put(this.parts.time, "");
    this.ring(0);
  }

  // known: whether the server's clock is, without which there are no figures.
  paint(state, seen, known = true) {
    if (!this.element.isConnected) return this.leave();
    const field = fieldOf(seen);
    if (this.page.dataset.face !== field) this.page.dataset.face = field;
    const running = seen.phase === "running";
    put(this.parts.word, seen.phase === "stopped" ? "" : running ? this.words.parts[seen.kind] ?? "" : this.words.phases[seen.phase]);
    const none = !this.hasFigures(seen);
    if (known || none) this.time(state, seen, none);
    else this.wait();
    const round = seen.kind === "work" ? seen.round : roundAhead(state, seen.index);
    const all = state.segments.filter(([kind]) => kind === "work").length;
    put(this.parts.round, round && all && seen.phase !== "ended" ? fill(this.words.round, round, all) : "");
    if (seen.ends_ms) put(this.parts.ends, fill(this.words.ends, this.wall(seen.ends_ms)));
    if (seen.phase === "ended") put(this.parts.ends, "");
    if (!known) return;
    const last = running && seen.kind !== "over" && seen.remaining_ms <= RING_S * 1000;
    this.ring(last ? RING_S - shownSeconds(seen.remaining_ms) + 1 : 0);
  }

  hasFigures({ phase, kind }) {
    return phase === "stopped" || (!["waiting", "ended"].includes(phase) && kind !== "over");
  }

  time(state, seen, none) {
    const seconds = this.countdown.shown(`${state.seq}.${seen.index}`, seen.remaining_ms);
    const text = digits(seconds * 1000);
    const stopped = seen.phase === "stopped";
    put(this.parts.left, stopped && state.since_ms > 0 ? fill(this.words.left, text) : "");
    this.parts.digits.hidden = none;
    if (none) return;
    draw(this.parts.digits, stopped ? SIGN : text);
    put(this.parts.time, stopped ? this.words.phases.stopped : text);
  }

  ring(tenths) {
    if (this.tenths === tenths) return;
    this.tenths = tenths;
    this.parts.ring?.setAttribute("stroke-dasharray", `${tenths * 10} 100`);
    this.page.toggleAttribute("data-last", tenths > 0);
  }
}
