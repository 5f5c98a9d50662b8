// What is tapped of a game goes through the phone's queue, so that it counts without a network too. Places and times lie
// in the queue until they are sent, and nowhere on the phone after that.
import { begin, begunAt, forget } from "../live/begun.js";
import { newId } from "../live/ids.js";
import { discard, put } from "../offline/outbox.js";

const PATIENCE_MS = 1500;
const told = document.querySelector("[data-queued]");
let sent = "";
let waits = null; // the form it came from: a second tap on that one is none
let goes = ""; // where the form leads once it was taken, if not where the answer says
let plainly = false; // the phone can keep nothing: the form goes its ordinary way

function say(text) {
  told.textContent = text;
  told.hidden = false;
  told.focus();
}

function label(form, submitter) {
  return (submitter ?? form.querySelector("button") ?? document.querySelector(`button[form="${form.id}"]`)).textContent.trim();
}

// Begun on this phone: on to what comes next, though the page was made before.
function showBegun(form) {
  const after = document.querySelectorAll("[data-begun]");
  if (!after.length || begunAt(form.getAttribute("action")) === null) return;
  form.hidden = true;
  for (const next of after) next.hidden = false;
}

const isBegin = (op) => op.body.some(([name, value]) => name === "what" && value === "begin");
const isKept = async (path) => Boolean(await window.caches?.match(path, { ignoreVary: true }).catch(() => null));

// Each sending is a tap of its own: a page kept on the phone may send more than one.
async function queue(form, submitter) {
  const url = form.getAttribute("action");
  const body = [...new FormData(form, submitter)].filter(([name]) => name !== "op_id");
  sent = newId();
  waits = form;
  try {
    await put({ kind: "game", url, body: [["op_id", sent], ...body], label: label(form, submitter) });
  } catch {
    plainly = true;
    form.requestSubmit(submitter);
    return;
  }
  if (isBegin({ body })) begin(url);
  goes = form.dataset.then ?? "";
  if ("begin" in form.dataset) {
    sent = ""; // the page goes on by itself
    waits = null;
  } else if (goes && await isKept(goes)) location.assign(goes);
  else setTimeout(() => wait(form), PATIENCE_MS);
}

function wait(form) {
  if (!sent) return;
  say(told.dataset.waits);
  showBegun(form);
}

document.addEventListener("submit", (event) => {
  const form = event.target.closest("form[data-queue]");
  if (!form || plainly) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  if (form !== waits) queue(form, event.submitter);
}, true);

document.addEventListener("fieldbell:outbox", ({ detail: { op, state, answer } }) => {
  if (op.kind !== "game") return;
  if (state === "refused" && isBegin(op)) forget(op.url);
  if (op.op_id !== sent) return;
  if (state === "taken") location.assign(goes || (answer?.data?.next ?? location.href));
  if (state === "refused") {
    sent = "";
    waits = null;
    say(answer.words);
    discard(op.op_id); // what was typed stands on the page still
  }
});

for (const form of document.querySelectorAll("form[data-start]")) showBegun(form);
