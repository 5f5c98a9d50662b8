"use strict";
// The caller's page: what is to be called, start, stop. Nothing here needs a network.
import { sound } from "../bell.js";
import { fill } from "../face.js";
import { Run } from "./run.js";
import { Show } from "./show.js";
import { problemOf, recall, remember } from "./wishes.js";

const { sets, limits, words } = JSON.parse(document.getElementById("caller-now").textContent);
const form = document.querySelector("[data-caller]");
const told = document.querySelector("[data-caller-told]");
const hinted = document.querySelector("[data-caller-hint]");
const texts = new Map(Object.values(sets).flat());
const show = new Show(document.querySelector("[data-cue]"), texts);
const root = document.documentElement;
let run = null;
let seed = 0;

function tell(text) {
  told.textContent = text;
}

// How things stand before: whether there will be a voice.
function hint() {
  form.dataset.set = form.elements.set.value;
  const isSpoken = ["on", "trying"].includes(sound.means.state("voice"));
  const text = isSpoken ? words.spoken : words.silent;
  if (hinted.textContent !== text) hinted.textContent = text;
}

function start() {
  const problem = problemOf(form, sets, limits);
  if (!problem) {
    tell(words.no_words);
    form.elements.own.focus();
    return;
  }
  tell("");
  remember(form);
  const wanted = form.elements.seed.value;
  seed = wanted === "" ? crypto.getRandomValues(new Uint32Array(1))[0] : Number(wanted) % 2 ** 32;
  show.open();
  show.dark(words.ready);
  show.counted.textContent = "";
  run = new Run(problem, seed, { cue, dark: () => show.dark(), over: () => end(words.over) });
}

function cue(word, count) {
  show.cue(word, count);
  sound.play("cue");
  sound.means.say(texts.get(word) ?? word);
}

function end(why) {
  if (!run) return;
  run.stop();
  const { called } = run;
  run = null;
  show.close();
  tell(fill(why, called, seed));
  document.querySelector("[data-caller-start]").focus();
}

form.addEventListener("submit", (event) => { event.preventDefault(); start(); });
form.addEventListener("change", hint);
document.querySelector("[data-caller-start]").addEventListener("click", start);
document.querySelector("[data-cue-stop]").addEventListener("click", () => end(words.stopped));
document.addEventListener("keydown", (event) => { if (event.key === "Escape") end(words.stopped); });
document.addEventListener("visibilitychange", () => { if (document.hidden) end(words.away); });
document.addEventListener("fieldbell:alarm", ({ detail }) => { if (detail.level !== "off") end(words.alarm); });
new MutationObserver((changes) => {
  if (changes.some(({ oldValue }) => oldValue !== root.dataset.face && oldValue !== "setting" && root.dataset.face !== "setting")) end(words.bell);
}).observe(root, { attributeFilter: ["data-face"], attributeOldValue: true });

recall(form);
form.hidden = false;
document.querySelector("[data-caller-thumb]").hidden = false;
document.addEventListener("click", () => setTimeout(hint));
hint();
root.dataset.callerReady = "yes";
