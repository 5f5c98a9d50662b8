// The clock of one race: a count that is spoken and shown, then the time of whoever is tapped at the finish. It goes by
// the page's even counter and is remembered for a reload in this tab alone; nothing here needs a network.
import { Tones } from "../live/sound/tones.js";
import { Voice } from "../live/sound/voice.js";

const READY_MS = 3000;
const SECOND_MS = 1000;
const seconds = (ms) => (Math.ceil(Math.max(0, ms) / 100) / 10).toFixed(1); // up to the tenth, as by hand
const { starts, words } = JSON.parse(document.getElementById("race-clock").textContent);
const part = (name) => document.querySelector(`[data-race-${name}]`);
const [place, figure, now, begin, halt] = ["clock", "figure", "now", "start", "stop"].map(part);
const name = `fieldbell.race.${location.pathname}.${document.querySelector("[name=round]").value}`;
const last = Math.max(0, ...starts.map(({ at }) => at));
const voice = new Voice(() => {});
const steady = () => performance.timeOrigin + performance.now();
let tones = null;
let zero = null; // when the race began
let told = null; // the last whole second that was shown

function remember(at) {
  zero = at;
  try {
    if (at === null) sessionStorage.removeItem(name);
    else sessionStorage.setItem(name, String(at));
  } catch {
    // Not kept: a reload ends the clock.
  }
}

function recall() {
  try {
    return Number(sessionStorage.getItem(name)) || null;
  } catch {
    return null;
  }
}

function namesAt(second) {
  return starts.find(({ at }) => at === second)?.names.join(", ") ?? "";
}

// Spoken: the numbers and "go", never a name; the names of whoever starts now, and next, are shown.
function tell(second) {
  const word = second === 0 ? words.go : String(second < 0 ? -second : second);
  if (second <= last) {
    voice.say(word);
    tones?.play(second === 0 ? "start" : "cue");
  }
  const next = starts.find(({ at }) => at > second);
  now.textContent = namesAt(second) || (second < 0 ? words.ready : "");
  if (next && !namesAt(second)) now.textContent = `${next.at}: ${next.names.join(", ")}`;
  figure.textContent = word;
}

function tick() {
  if (zero === null) return;
  const passed = steady() - zero;
  const second = Math.floor(passed / SECOND_MS);
  if (second !== told && second <= last) tell(second);
  told = second;
  if (second > last || (second === last && passed % SECOND_MS > SECOND_MS / 2)) figure.textContent = seconds(passed);
  tick.next = requestAnimationFrame(tick);
}

function run(at) {
  remember(at);
  told = null;
  begin.hidden = true;
  halt.hidden = false;
  tick();
}

function stop(why = "") {
  remember(null);
  cancelAnimationFrame(tick.next);
  voice.hush();
  begin.hidden = false;
  halt.hidden = true;
  figure.textContent = "–";
  now.textContent = why;
}

begin.addEventListener("click", () => {
  const Maker = window.AudioContext ?? window.webkitAudioContext;
  tones ??= Maker ? new Tones(new Maker()) : null;
  tones?.context.resume().catch(() => {});
  voice.prime();
  run(steady() + READY_MS);
});
halt.addEventListener("click", () => stop());

// A tap at the finish: the time is the tap's own moment. Taken back, it goes too.
document.addEventListener("fieldbell:in", ({ target, detail }) => {
  const time = target.querySelector("[name^=time_]");
  const passed = zero === null ? 0 : performance.timeOrigin + detail.stamp - zero;
  if (!detail.in) time.value = "";
  else if (passed > 0) time.value = seconds(passed);
});
// Children have to hear an alarm first: a count that is on ends.
document.addEventListener("fieldbell:alarm", ({ detail }) => {
  if (detail.level !== "off" && zero !== null && steady() - zero < last * SECOND_MS) stop(words.stopped);
});
document.querySelector("[data-finish]").addEventListener("submit", () => remember(null));

place.hidden = false;
const before = recall();
if (before) run(before);
