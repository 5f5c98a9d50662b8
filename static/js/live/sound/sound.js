// The bell and the alarms, heard. Signals are put on the audio clock minutes ahead; buzz and voice follow when their
// moment has come. Without a tap on this page nothing of it is heard, and the page says so.
import { Diary } from "./diary.js";
import { Means } from "./means.js";
import { Sheet } from "./sheet.js";
import { lengthOf, moments, ordered } from "./signals.js";

const LOOK_MS = 500;
const AHEAD_MS = 300_000;
const MISSED_MS = 3000; // whoever slept through it is not buzzed afterwards
const PAUSE_MS = 250;
const STOP_AGAIN_MS = 5000;
const STOPS = 4;

export class Sound {
  // state(): the bell's; stopped(state): what is read out of a STOP.
  constructor(words, sync, { state, stopped }) {
    Object.assign(this, { words, sync, state, stopped, diary: null, last: null, stops: 0 });
    this.means = new Means(() => this.sheet?.show());
    const place = document.querySelector("[data-sound]");
    this.sheet = place && new Sheet(place, words.sound, this.means);
    // Any tap will do where sound was chosen before.
    document.addEventListener("click", () => this.means.tapped().then(() => this.look()));
    document.addEventListener("fieldbell:alarm", ({ detail }) => { if (detail.level !== "off") this.play(detail.level); });
    setInterval(() => this.look(), LOOK_MS);
    this.take(null, state());
  }

  play(signal) {
    this.means.playing?.play(signal);
    this.means.buzz(signal);
  }

  // A command came: what it says at once, and what is due from now on.
  take(before, after) {
    const now = this.sync.serverNow();
    const signal = ordered(before, after, now ?? after.since_ms);
    if (after.phase !== "stopped") this.stops = 0;
    if (signal) this.now(signal, after);
    this.last = now;
    this.look(after);
  }

  now(signal, state) {
    if (signal === "stop") Object.assign(this, { stops: STOPS - 1, stopAt: performance.now() });
    this.play(signal);
    this.speak(signal, state);
  }

  look(state = this.state()) {
    const now = this.sync.serverNow();
    if (now !== null) {
      this.plan(state, now);
      this.follow(state, now);
    }
    if (this.stops > 0 && performance.now() - this.stopAt >= STOP_AGAIN_MS) {
      Object.assign(this, { stops: this.stops - 1, stopAt: performance.now() });
      this.play("stop");
    }
  }

  plan(state, now) {
    const tones = this.means.playing;
    if (!tones && this.diary) this.diary.clear();
    if (!tones) {
      this.diary = null;
      return;
    }
    this.diary ??= new Diary(tones);
    this.diary.keep(moments(state, now, now + AHEAD_MS), now);
  }

  // Sound came by itself; hand and voice are told now.
  follow(state, now) {
    const from = Math.max(this.last ?? now, now - MISSED_MS);
    this.last = now;
    for (const { signal } of moments(state, from, now)) {
      this.means.buzz(signal);
      this.speak(signal, state);
    }
  }

  speak(signal, state) {
    clearTimeout(this.speech);
    this.speech = setTimeout(() => this.means.say(this.sentence(signal, state)), lengthOf(signal) + PAUSE_MS);
  }

  // The page shows the round that is now walked to by the time this is asked.
  sentence(signal, state) {
    if (signal === "stop") return this.stopped(state);
    if (signal === "ten") return this.words.ten;
    const spoken = { ring: this.words.rings, water: this.words.parts.water, start: this.words.parts.work };
    if (signal !== "move") return spoken[signal].toLocaleLowerCase(document.documentElement.lang);
    const ways = [...document.querySelectorAll("[data-turn][data-now] [data-spoken]")].map((way) => way.dataset.spoken);
    return [document.documentElement.dataset.scene === "after" ? this.words.sound.done : this.words.sound.move, ...ways].join(". ");
  }
}
