// The four means of being heard and seen: sound, buzz, voice, a screen that stays on. What the adult chose is kept on
// this phone; the state is asked of the browser each time, never taken from the choice.
import { SIGNALS, buzzOf } from "./signals.js";
import { Tones } from "./tones.js";
import { Voice } from "./voice.js";

const NAME = "fieldbell.sound";
export const MEANS = ["sound", "buzz", "voice", "awake"];

function recall() {
  try {
    return JSON.parse(localStorage.getItem(NAME)) ?? null;
  } catch {
    return null;
  }
}

export class Means {
  // changed(): something about the states may be different now.
  constructor(changed) {
    Object.assign(this, { changed, chosen: recall(), tones: null, lock: null, refused: {}, voice: new Voice(changed) });
    document.addEventListener("visibilitychange", () => { if (!document.hidden) this.wake(); });
  }

  wants(mean) {
    return Boolean(this.chosen?.[mean]);
  }

  choose(mean, yes) {
    this.chosen = { ...this.chosen, [mean]: yes };
    this.refused[mean] = false;
    try {
      localStorage.setItem(NAME, JSON.stringify(this.chosen));
    } catch {
      // Not kept on this phone: asked again with the next page.
    }
    if (mean === "awake" && !yes) this.lock?.release().catch(() => {});
    if (mean === "voice" && !yes) this.voice.hush();
  }

  // Only within a tap: browsers give sound and voice to nobody else.
  tapped() {
    if (this.wants("sound")) this.open();
    if (this.wants("voice")) this.voice.prime();
    return this.wake();
  }

  open() {
    const Maker = window.AudioContext ?? window.webkitAudioContext;
    if (!Maker) return;
    if (!this.tones) {
      if (navigator.audioSession) navigator.audioSession.type = "playback"; // heard although the phone is set to silent
      this.tones = new Tones(new Maker());
      this.tones.context.addEventListener("statechange", () => this.changed());
    }
    if (this.tones.context.state !== "running") this.tones.context.resume().catch(() => {});
  }

  // Also when the page is looked at again: the phone lets go of both by itself.
  async wake() {
    if (this.tones && this.wants("sound") && this.tones.context.state !== "running") this.tones.context.resume().catch(() => {});
    if (this.wants("awake") && navigator.wakeLock && !document.hidden && (!this.lock || this.lock.released)) {
      this.asking ??= navigator.wakeLock.request("screen").catch(() => null);
      this.lock = await this.asking;
      this.asking = null;
      this.refused.awake = !this.lock;
      this.lock?.addEventListener("release", this.changed);
      if (!this.wants("awake")) this.lock?.release().catch(() => {});
    }
    this.changed();
  }

  get playing() {
    return this.wants("sound") && this.tones?.context.state === "running" ? this.tones : null;
  }

  buzz(signal) {
    if (this.state("buzz") === "on" && SIGNALS[signal]) this.refused.buzz = !navigator.vibrate(buzzOf(signal));
  }

  say(text) {
    if (this.wants("voice")) this.voice.say(text);
  }

  // "on", "off", "tap", "cannot", "https", "refused"; of the voice also "none" (no voice there) and "trying".
  state(mean) {
    const able = { sound: window.AudioContext ?? window.webkitAudioContext, buzz: navigator.vibrate, voice: window.speechSynthesis, awake: navigator.wakeLock };
    if (mean === "awake" && !window.isSecureContext) return "https";
    if (!able[mean]) return "cannot";
    if (!this.wants(mean)) return "off";
    if (this.refused[mean]) return "refused";
    return this.asked(mean);
  }

  asked(mean) {
    if (mean === "voice") return this.voice.state();
    if (mean === "sound") return this.playing ? "on" : "tap";
    if (mean === "buzz") return navigator.userActivation?.hasBeenActive === false ? "tap" : "on";
    return this.lock && !this.lock.released ? "on" : "tap";
  }
}
