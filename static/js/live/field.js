"use strict";
// Head-counts, help and alarms on the page of the bell or of a station.
import { Alarms } from "./alarm.js";
import { Counts } from "./counts.js";
import { Crowd } from "./crowd.js";
import { NoteSheet } from "./incident.js";
import { Question } from "./question.js";
import { Reports } from "./report.js";

const NOTE_MS = 6000;

// The page at the gate has a clock and nobody's name.
const block = document.getElementById("field-words");
if (block) begin(JSON.parse(block.textContent));

function begin(words) {
  const written = () => JSON.parse(document.getElementById("watch-now")?.dataset.told ?? "null");
  let told = written();
  let crowd = new Crowd(told);

  // What was opened stays open when the list comes in anew.
  let open = [];
  document.body.addEventListener("htmx:beforeSwap", () => {
    const all = [...document.querySelectorAll("#watch details[open]")];
    open = all.map((one) => one.closest("[data-alarm]").dataset.alarm);
  });

  // What the phone taps is in the crowd until the club's own answer has come.
  document.body.addEventListener("htmx:afterSwap", () => {
    for (const id of open) document.querySelector(`[data-alarm="${id}"] details`)?.setAttribute("open", "");
    const fresh = written();
    if (!fresh || fresh.version < told.version) return;
    told = fresh;
    crowd = new Crowd(told);
    again();
    alarms.look();
  });

  const place = document.querySelector("[data-field-note]");
  function note(text) {
    place.textContent = text;
    place.hidden = !text;
    clearTimeout(note.end);
    note.end = setTimeout(() => { place.hidden = true; }, NOTE_MS);
  }

  // Names and alarms are asked for anew: where sockets are blocked no hint comes.
  const taken = () => document.body.dispatchEvent(new CustomEvent("bell-changed"));
  const reports = new Reports(document.querySelector("[data-alarm-unsent]"), words, { note, taken });
  const again = () => { for (const word of reports.said.values()) crowd.say(word.athlete, word); };
  reports.ready.then(again);
  const bell = document.querySelector("[data-bell]");
  const now = () => Date.now() + Number(bell?.dataset.offset || 0);
  const round = () => Number(document.querySelector("[data-turn][data-now]")?.dataset.turn ?? told.round);
  const alarms = new Alarms(words, { told: () => told, now, round });
  const question = new Question(document.querySelector("[data-ask]"));
  const counts = new Counts({ question, words, crowd: () => crowd, report: (what) => reports.send(what), note });

  const sheet = document.querySelector("[data-note-sheet]");
  if (sheet) {
    const hurt = (id) => crowd.say(id, { said: "hurt" });
    new NoteSheet(sheet, { words, report: (what) => reports.send(what), note, hurt });
  }

  document.addEventListener("click", (event) => {
    const link = event.target.closest?.("a[data-count]");
    if (!link || !crowd.station(link.dataset.count)) return;
    event.preventDefault();
    const { count: station, asked, short } = link.dataset;
    const at = Number(link.dataset.round) || round();
    if (asked) counts.resume(station, at, asked, Number(short));
    else counts.start(station, at);
  });

  document.addEventListener("submit", (event) => {
    const form = event.target.closest?.("form[data-report]");
    if (!form) return;
    event.preventDefault();
    const body = new FormData(form, event.submitter);
    body.delete("op_id"); // the page's own is good for one tap only; the outbox makes one a tap
    if (form.dataset.report === "help") body.set("round", round());
    reports.send({ kind: form.dataset.report, url: new URL(form.action).pathname, body, label: form.dataset.label });
    note(form.dataset.report === "help" ? words.calling : words.saved);
    form.closest("details")?.removeAttribute("open");
  }, true);
  document.documentElement.dataset.fieldReady = "yes";
}
