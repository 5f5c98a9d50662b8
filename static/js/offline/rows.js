"use strict";
// The register with or without a network: a tap shows on its row at once and goes through the outbox; what the club
// answers then takes the row's place. What still waits is shown again after a reload.
import { newId } from "../live/ids.js";
import { afterPaint } from "../live/paint.js";
import { blankRow, mend } from "./blank.js";
import { note, staying } from "./draw.js";
import { watchFinish } from "./finish.js";
import { watchOthers } from "./others.js";
import { forget, pending, put } from "./outbox.js";
import { placeAdult, recallRest, watchRest } from "./rest.js";
import { placeNew, watchSheet } from "./sheet.js";
import { recount } from "./sums.js";
import { kindOf, valueOf, watchTaps } from "./taps.js";
import { words } from "./words.js";

const before = new Map(); // rows as the club's page had them, by id
const version = () => Number(document.getElementById("news").dataset.version);
const rowOf = (op) => document.getElementById(op.row);
const place = (op) => (op.kind === "adult" ? document.getElementById("adult-rows") : rowOf(op));
const change = (op, answer) => window.htmx.swap(place(op), answer.text, { swapStyle: "outerHTML" });
const swap = (op, answer) => staying(op.row, () => change(op, answer));

let drawn = Promise.resolve(); // what was tapped stands on its row

// The first answer to a finger is the button's: the row itself takes a frame more.
function keep(op, button) {
  op.op_id = valueOf(op, "op_id") ?? newId();
  op.body = [...op.body.filter(([name]) => name !== "op_id"), ["op_id", op.op_id]];
  button?.setAttribute("aria-busy", "true");
  drawn = new Promise((done) => afterPaint(() => {
    done(); // a row that cannot be drawn holds up no other one's answer
    button?.removeAttribute("aria-busy");
    show(op);
  }));
  put(op).catch(() => drawn.then(() => rowOf(op).append(note(words.not_kept))));
}

// --- what waits, and what was said to it ---

function show(op) {
  if (op.kind === "new-child") placeNew(op);
  if (op.kind === "adult") placeAdult(op);
  const row = rowOf(op);
  if (!row) return;
  if (row.classList.contains("mark")) {
    if (!before.has(op.row)) before.set(op.row, op.kind === "brought" ? row.cloneNode(true) : row);
    if (op.kind === "brought") return tell(op);
    const child = op.row.slice("mark-".length);
    document.getElementById(`more-${child}`)?.replaceChildren();
    staying(op.row, () => {
      row.replaceWith(notGone(op) ? before.get(op.row) : blankRow(row, child, kindOf(op)));
      tell(op);
    });
    return;
  }
  if (op.kind === "adult") for (const button of row.querySelectorAll("button")) button.disabled = true;
  tell(op);
}

// Before the focus goes to the row: that lays the page out.
function tell(op) {
  mend(rowOf(op), op);
  recount();
}

// A child whose leaving the club did not take is still here.
const notGone = (op) => op.state === "refused" && kindOf(op) === "left";

// While a later tap on the same row waits, the answer to an earlier one would hide it.
async function answered({ op, state, answer }) {
  await drawn;
  if (!op.row || !rowOf(op)) return;
  const waits = (await pending()).some((other) => other.row === op.row && other.state === "waiting");
  if (state === "taken" && !waits) {
    before.delete(op.row);
    swap(op, answer);
  } else if (state === "refused") show({ ...op, state, answer });
  else if (state === "dropped") rowOf(op).replaceWith(before.get(op.row) ?? "");
  await again();
}

// Rows that came in anew do not know of what waits on this phone.
async function again() {
  await drawn;
  for (const op of await pending()) {
    if (op.state !== "taken" && op.row && rowOf(op)?.dataset.waiting !== op.op_id) show(op);
  }
  recount();
}

// A page from the phone's own store is older than what the club has taken since.
async function catchUp() {
  for (const op of (await pending()).filter(({ state }) => state === "taken")) {
    const then = Number(/data-version="(\d+)"/.exec(op.answer.text)?.[1] ?? 0);
    if (then <= version()) await forget(op);
    else if (place(op)) swap(op, op.answer);
  }
}

watchTaps(document, keep);
document.addEventListener("fieldbell:outbox", ({ detail }) => answered(detail));
document.body.addEventListener("htmx:afterSwap", again);
watchOthers(document);
watchSheet(show);
watchRest(keep);
catchUp().then(again).then(recallRest).then(watchFinish).finally(() => { document.documentElement.dataset.rowsReady = "yes"; });
