// Go and still, each after a wait that cannot be guessed. Spoken, sounded and shown; nothing here needs a network.
import { trials } from "../cues.js";
import { Tones } from "../sound/tones.js";
import { Voice } from "../sound/voice.js";

const READY_MS = 2000;
const { words, ...waits } = JSON.parse(document.getElementById("signals").textContent);
const panel = document.querySelector("[data-signals]");
const [figure, now] = ["[data-signal]", "[data-signal-now]"].map((one) => panel.querySelector(one));
const [begin, halt] = ["[data-signals-start]", "[data-signals-stop]"].map((one) => panel.querySelector(one));
const voice = new Voice(() => {});
let tones = null;
let timer = 0;

// What follows what, and after how long: waits of the cue caller, each drawn when the one before it is over.
export function* turns(given, seeds) {
  const one = { words: ["."], pause_ms: 0, catch_percent: 0, most_alike: 1, most_away: null };
  const drawn = { go: trials({ ...one, ...given.go }, seeds[0]), still: trials({ ...one, ...given.still }, seeds[1]) };
  for (let signal = "go"; ; signal = signal === "go" ? "still" : "go") {
    const [wait] = drawn[signal].next().value;
    yield [signal, wait]; // and how long it holds
  }
}

function tell(signal) {
  panel.dataset.signal = signal;
  figure.textContent = words[signal];
  now.textContent = "";
  voice.say(words[signal]);
  tones?.play(signal === "go" ? "start" : "cue");
}

function step(rest) {
  const [signal, wait] = rest.next().value;
  tell(signal);
  timer = setTimeout(() => step(rest), wait);
}

function shown(running) {
  begin.hidden = running;
  halt.hidden = !running;
}

function stop(why = "") {
  clearTimeout(timer);
  timer = 0;
  voice.hush();
  delete panel.dataset.signal;
  figure.textContent = "–";
  now.textContent = why;
  shown(false);
}

begin.addEventListener("click", () => {
  const Maker = window.AudioContext ?? window.webkitAudioContext;
  tones ??= Maker ? new Tones(new Maker()) : null;
  tones?.context.resume().catch(() => {});
  voice.prime();
  figure.textContent = words.ready;
  shown(true);
  const rest = turns(waits, crypto.getRandomValues(new Uint32Array(2)));
  timer = setTimeout(() => step(rest), READY_MS);
});
halt.addEventListener("click", () => stop());
document.addEventListener("visibilitychange", () => { if (document.hidden && timer) stop(words.away); });
// Children have to hear an alarm first.
document.addEventListener("fieldbell:alarm", ({ detail }) => { if (detail.level !== "off" && timer) stop(words.stopped); });
document.querySelector("[data-finish]").addEventListener("submit", () => stop());

panel.hidden = false;
