// Touches of a chasing game, one tap each, by the outbox: kept on the phone first. Counts are shown to whoever taps.
import { newId } from "../live/ids.js";
import { pending, put } from "../offline/outbox.js";
import { Log, waitingTouches } from "./tally_log.js";

const page = document.querySelector("[data-tally-page]");
const words = JSON.parse(page.dataset.words);
const note = page.querySelector("[data-tally-note]");
const undo = page.querySelector("[data-tally-undo]");
const say = (text, ...values) => { note.textContent = values.reduce((all, value) => all.replace("%s", value), text); };
const log = new Log(page.querySelector("[data-tally-log]"), words, takeBack);
let turn = null; // by the bell; until it is known, as the form says

// The chasers of this turn can be chosen, everybody else can be touched.
function show({ turn: number, ids }) {
  turn = number;
  for (const form of page.querySelectorAll("[data-tally]")) {
    form.querySelector("[data-tally-turn]").hidden = true;
    const chosen = [...form.querySelectorAll("[data-chaser]")].filter((label) => {
      label.hidden = !ids.includes(label.dataset.chaser);
      label.querySelector("input").checked = false;
      return !label.hidden;
    });
    if (chosen.length) chosen[0].querySelector("input").checked = true;
    form.querySelector(".tally-who").hidden = !chosen.length;
    for (const button of form.querySelectorAll("[data-whom]")) button.hidden = ids.includes(button.dataset.whom);
  }
}

function count(button, step) {
  const place = button.querySelector("[data-count]");
  const now = Math.max(0, Number(button.dataset.touched || 0) + step);
  button.dataset.touched = now;
  place.textContent = now || "";
}

// Who is out sees on the adult's phone when to be back at the latest.
function outFor(button, until) {
  clearTimeout(button.back);
  const left = Math.ceil((until - Date.now()) / 1000);
  const place = button.querySelector("[data-count]");
  button.toggleAttribute("data-out", left > 0);
  place.textContent = left > 0 ? `${left} s` : "";
  if (left > 0) button.back = setTimeout(() => outFor(button, until), 250);
  else say(words.back, button.firstElementChild.textContent);
}

async function touch(form, button) {
  const body = new FormData(form, button);
  const op_id = newId();
  body.set("op_id", op_id);
  if (turn) body.set("part", turn);
  const who = form.querySelector("[name=who]:checked")?.parentElement.textContent.trim();
  const whom = button.firstElementChild.textContent;
  const label = (who ? words.touched : words.out).replace("%s", who ?? whom).replace("%s", whom);
  const url = form.getAttribute("action");
  keep({ op_id, url, button, label });
  const seconds = Number(words.back_s);
  if (seconds && "tallyOut" in page.dataset) outFor(button, Date.now() + seconds * 1000);
  undo.hidden = false;
  say(label);
  await put({ kind: "touch", url, body, label }).catch(() => { count(button, -1); log.drop(op_id); say(words.lost); });
}

function keep(tap) {
  count(tap.button, 1);
  log.add(tap);
}

async function takeBack({ op_id: of, url, button, label }) {
  undo.hidden = true;
  log.drop(of);
  count(button, -1);
  clearTimeout(button.back);
  button.removeAttribute("data-out");
  say(words.undone, label);
  await put({ kind: "touch", url, body: { what: "untouch", of }, label: words.undone.replace("%s", label) }).catch(() => say(words.lost));
}

async function recall() {
  const url = page.querySelector("[data-tally]").getAttribute("action");
  for (const { op_id, whom, label } of waitingTouches(await pending(), url)) {
    const button = page.querySelector(`[data-whom="${whom}"]`);
    if (button && !log.has(op_id)) keep({ op_id, url, button, label });
  }
}

recall().catch(() => {});
document.addEventListener("fieldbell:turn", ({ detail }) => show(detail));
document.dispatchEvent(new CustomEvent("fieldbell:turn-wanted"));
document.addEventListener("submit", (event) => {
  if (!event.target.closest?.("[data-tally]") || !event.submitter?.dataset.whom) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  touch(event.target, event.submitter);
}, true);
document.addEventListener("fieldbell:outbox", ({ detail }) => {
  if (detail.op.kind === "touch" && detail.state === "refused") say(words.refused, detail.answer?.words ?? "");
});
undo.addEventListener("click", () => takeBack(log.last));
// Somebody was fitted in or taken out: the names to tap are others now.
const drawn = () => document.querySelector("[data-draw]")?.dataset.draw;
const first = drawn();
document.body.addEventListener("htmx:afterSwap", () => { if (drawn() && drawn() !== first) location.reload(); });
