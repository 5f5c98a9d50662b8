// Milestones for those who listen: a part begins, half of it is left, ten seconds. Never each second.
import { fill } from "./face.js";

export class Speaker {
  constructor(region, words) {
    this.region = region;
    this.words = words;
  }

  say(text) {
    this.region.textContent = text;
  }

  stopped(state) {
    const place = document.querySelector("[data-stop-place]")?.innerText.trim() ?? "";
    return [this.words.phases.stopped, this.words.reasons[state.reason], place].filter(Boolean).join(". ");
  }

  watch(state, seen) {
    const why = `${state.reason}${state.thunder_ms}`;
    const mark = `${seen.phase}.${seen.index}.${this.stage(state, seen)}.${why}`;
    const before = this.mark;
    this.mark = mark;
    if (before === undefined || before === mark) return;
    const [, , stage] = mark.split(".");
    if (seen.phase === "stopped") this.say(this.stopped(state));
    else if (seen.phase !== "running") this.say(this.words.phases[seen.phase]);
    else if (stage === "begun") this.say(seen.kind === "over" ? this.words.done : fill(this.words.began, this.words.parts[seen.kind]));
    else this.say(this.words[stage]);
  }

  stage(state, seen) {
    const whole = (state.segments[seen.index]?.[1] ?? 0) * 1000;
    if (seen.remaining_ms <= 10_000 && whole > 10_000) return "ten";
    return seen.remaining_ms <= whole / 2 && whole >= 60_000 ? "half" : "begun";
  }
}
