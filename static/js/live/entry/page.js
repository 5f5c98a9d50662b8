"use strict";
// A list to type into: return keeps the value and goes on to the next child; what looks impossible is asked once.
import { pending, put } from "../../offline/outbox.js";
import { fill } from "../face.js";
import { newId } from "../ids.js";
import { doubt, parse } from "./measure.js";
import { note, show } from "./marks.js";
import { watchOrder } from "./order.js";

const form = document.querySelector("[data-entry]");
const written = (id) => JSON.parse(document.getElementById(id).textContent);
const SAMPLES = { s: "7.42", m: "1.84", cm: "184" };

function start() {
  const now = written("entry-now");
  const words = written("entry-words");
  const rows = [...form.querySelectorAll("[data-child]")];
  const marks = new Map(); // by op_id: the row a value stands in
  const inputOf = (row) => row.querySelector("input[inputmode]");
  const rowOf = (child) => rows.find((row) => row.dataset.child === child);

  function say(row, text) {
    row.querySelector(".entry-said").textContent = text;
    row.classList.toggle("asked", Boolean(text));
  }

  // One that is corrected: its figure stands in the field, and what is kept next takes its place.
  function correct(row, mark) {
    const input = inputOf(row);
    const text = mark.dataset.typed ?? mark.firstChild.textContent.trim();
    Object.assign(row.dataset, { replaces: mark.dataset.op, attempt: mark.dataset.attempt });
    input.value = text;
    say(row, fill(words.corrects, text));
    input.focus();
    input.select();
  }

  async function keep(row, typed, sure) {
    const { child, name, replaces = "" } = row.dataset;
    const attempt = replaces ? row.dataset.attempt : row.dataset.next;
    const op = { id: newId(), replaces, attempt, typed };
    if (!replaces) row.dataset.next = Number(row.dataset.next) + 1;
    delete row.dataset.replaces;
    const taken = Object.fromEntries([...form.querySelectorAll(".entry-choices :is(select, input)")].map((one) => [one.name, one.value]));
    const body = { ...taken, op_id: op.id, athlete: child, value: typed, attempt, replaces, sure: sure ? "yes" : "" };
    const mark = show(op, row, typed);
    marks.set(op.id, row);
    const label = `${name}: ${typed} ${now.unit}`; // "kept" is said once it is, unless its answer is quicker still
    await put({ kind: "value", url: now.url, body, label }).then(() => marks.has(op.id) && note(mark, words.waiting), () => say(row, words.not_kept));
  }

  // Whether the row is done with; where it is not, it says why.
  function take(row) {
    const input = inputOf(row);
    const typed = input.value.trim();
    const value = parse(typed, now.unit);
    const sure = input.dataset.asked === typed && typed !== "";
    if (value === null) return true;
    if (Number.isNaN(value)) {
      say(row, fill(words.no_value, SAMPLES[now.unit]));
      return false;
    }
    const asked = sure ? null : doubt(value, row.dataset.child, now);
    if (asked) {
      input.dataset.asked = typed;
      say(row, `${fill(words[asked[0]], `${typed} ${now.unit}`, ...asked.slice(1))} ${words.again}`);
      return false;
    }
    say(row, "");
    input.value = "";
    delete input.dataset.asked;
    keep(row, typed, sure);
    return true;
  }

  function next(row) {
    if (!take(row)) return inputOf(row).select();
    const after = rows[rows.indexOf(row) + 1];
    inputOf(after ?? rows[0]).focus();
  }

  form.addEventListener("keydown", (event) => {
    const row = event.target.closest("[data-child]");
    if (event.key !== "Enter" || !row || event.target !== inputOf(row)) return;
    event.preventDefault();
    next(row);
  });
  form.addEventListener("pointerdown", (event) => { if (event.target.closest("[data-next][type]")) event.preventDefault(); }); // the keypad stays
  form.addEventListener("click", (event) => {
    const row = event.target.closest("[data-child]");
    const mark = event.target.closest("[data-op]");
    if (event.target.closest("button[data-next]")) next(row);
    else if (mark && !event.target.closest("a")) correct(row, mark);
  });
  form.addEventListener("submit", (event) => { event.preventDefault(); rows.filter((row) => !take(row)).forEach((row) => inputOf(row).focus()); });
  document.addEventListener("fieldbell:outbox", ({ detail: { op, state, answer } }) => {
    const row = marks.get(op.op_id);
    const mark = row?.querySelector(`[data-op="${op.op_id}"]`);
    if (!mark || state === "waiting") return;
    if (state === "taken") marks.delete(op.op_id);
    mark.textContent = answer?.data?.text ?? mark.dataset.typed;
    if (state === "refused") note(mark, answer?.words ?? "");
    else if (answer?.data?.ask) say(row, answer.data.ask);
  });
  pending().then((all) => {
    for (const op of all.filter(({ kind, url, state }) => kind === "value" && url === now.url && state !== "taken")) {
      const { athlete, value, attempt, replaces } = Object.fromEntries(op.body);
      const row = rowOf(athlete);
      if (!row) continue;
      note(show({ id: op.op_id, attempt, replaces, typed: value }, row, value), words.waiting);
      marks.set(op.op_id, row);
      if (!replaces) row.dataset.next = Math.max(Number(row.dataset.next), Number(attempt) + 1);
    }
  }).catch(() => null);
  for (const button of form.querySelectorAll("button[data-next]")) button.hidden = false;
  document.documentElement.dataset.entryReady = "yes";
}

if (form) start();
watchOrder(document.querySelector("[data-order]"));
