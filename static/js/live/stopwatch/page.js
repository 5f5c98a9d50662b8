"use strict";
// The stop-watch's page: which way of timing, who and what; the big button; the figures that run.
import { newId } from "../ids.js";
import { stayAwake } from "./awake.js";
import { Crew } from "./crew.js";
import { paint } from "./figures.js";
import { many } from "./many.js";
import { keep, recall, touch } from "./memory.js";
import { gap, moved, steady } from "./moments.js";
import { one } from "./one.js";
import { fillPlace, make } from "./pieces.js";
import { Post } from "./post.js";
import { watchFinger, watchPress } from "./press.js";
import { takeWatch } from "./tabs.js";
import { openHeat } from "./tape.js";

const written = (id) => JSON.parse(document.getElementById(id).textContent);
const now = written("stopwatch-now");
const words = written("stopwatch-words");
const owner = document.documentElement.dataset.owner ?? "";
const place = (name) => document.querySelector(`[data-sw-${name}]`);
const root = document.querySelector("[data-stopwatch]");
const [test, who, big, figures, line, doubtful] = ["test", "who", "big", "figures", "line", "doubt"].map(place);
const modes = document.querySelectorAll("[data-sw-mode]");
const key = `${owner}.${now.session}.${now.station}`;
takeWatch(key, { root, thumb: place("thumb"), lost: () => tell(words.elsewhere) });
const tape = recall(key, steady());
const before = tape.seen;
const crew = new Crew(words, now.station);
let [shown, stale] = [{}, false];

const page = {
  tape, words, crew, newId, gap, changed,
  who: () => who.value,
  test: () => test.value,
  tenths: (code) => now.tests.find((row) => row.code === code)?.tenths ?? true,
  known: (child, code) => now.attempts[code]?.[child] ?? 0,
  doubt: (run, at) => moved(run.gap, gap(), { at, before }),
};
const isTouched = watchFinger(refresh);
const post = new Post(tape, {
  url: now.url, station: now.station, name: (child) => crew.name(child), inTenths: page.tenths, changed: came,
  failed: () => tell(words.not_kept),
});

function tell(text) {
  doubtful.textContent = text;
  doubtful.hidden = !text;
}

const isRunning = () => tape.one.start !== null || (openHeat(tape) && !openHeat(tape).over);

// Kept first, shown then, sent last.
function changed() {
  tape.seen = steady();
  if (!keep(key, tape)) tell(words.unkept);
  show();
  if (tape.ops.length) post.send();
  stayAwake(isRunning());
}

function came() {
  keep(key, tape);
  stale = true;
  if (!isTouched()) refresh();
}

function refresh() {
  if (stale) show();
  stale = false;
}

function show() {
  if (!place("list")) return; // the session is over, or the rights are gone: nobody is named here any more
  for (const button of modes) button.setAttribute("aria-pressed", String(button.dataset.swMode === tape.mode));
  shown = (tape.mode === "many" ? many : one)(page);
  if (line.textContent !== shown.line) line.textContent = shown.line;
  fillPlace(place("list"), shown.list);
  fillPlace(place("side"), shown.side);
  fillPlace(place("names"), shown.names ?? []);
  big.textContent = shown.big.text;
  big.disabled = Boolean(shown.big.disabled);
  big.classList.toggle("sw-press", Boolean(shown.big.down));
  const stage = shown.start !== null ? "run" : shown.stage ?? "rest";
  if (stage !== document.body.dataset.stage) scrollTo(0, 0);
  document.body.dataset.stage = stage;
  if (shown.names) place("list").querySelector("[aria-pressed=true]")?.scrollIntoView({ block: "nearest" });
  if (shown.doubt) tell(words.doubt);
  paint(figures, shown.start, shown.figures);
}

function offer() {
  const kept = who.value || tape.who;
  const choices = crew.choices();
  who.replaceChildren(...choices.map(([value, text]) => make("option", { value, text })));
  who.value = choices.some(([value]) => value === kept) ? kept : choices[0][0];
}

watchPress(big, {
  what: () => shown.big,
  acted: (down, at) => {
    tell("");
    down(page, at);
    navigator.vibrate?.(30);
    changed();
  },
});
for (const button of modes) {
  button.addEventListener("click", () => { tape.mode = button.dataset.swMode; tell(""); changed(); });
}
test.addEventListener("change", () => { tape.test = test.value; Object.assign(tape.one, { last: "", redo: "" }); changed(); });
who.addEventListener("change", () => { tape.who = who.value; changed(); });
document.body.addEventListener("htmx:afterSwap", () => { crew.read(); offer(); came(); });
window.addEventListener("pagehide", () => touch(key, tape, steady()));
document.addEventListener("visibilitychange", () => stayAwake(isRunning()));
if (now.tests.some(({ code }) => code === tape.test)) test.value = tape.test;
offer();
root.hidden = place("thumb").hidden = false;
await post.recall();
document.documentElement.dataset.stopwatchReady = "yes";
