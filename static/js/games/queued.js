// What is tapped of a game goes through the phone's queue, so that it counts without a network too. Places and times lie
// in the queue until they are sent, and nowhere on the phone after that.
import { newId } from "../live/ids.js";
import { discard, put } from "../offline/outbox.js";

const PATIENCE_MS = 1500;
const told = document.querySelector("[data-queued]");
let sent = "";
let plainly = false; // the phone can keep nothing: the form goes its ordinary way

function say(text) {
  told.textContent = text;
  told.hidden = false;
  told.focus();
}

function label(form, submitter) {
  return (submitter ?? form.querySelector("button") ?? document.querySelector(`button[form="${form.id}"]`)).textContent.trim();
}

// Each sending is a tap of its own: a page kept on the phone may send more than one.
async function queue(form, submitter) {
  const body = [...new FormData(form, submitter)].filter(([name]) => name !== "op_id");
  sent = newId();
  try {
    await put({ kind: "game", url: form.getAttribute("action"), body: [["op_id", sent], ...body], label: label(form, submitter) });
    setTimeout(() => { if (sent) say(told.dataset.waits); }, PATIENCE_MS);
  } catch {
    plainly = true;
    form.requestSubmit(submitter);
  }
}

document.addEventListener("submit", (event) => {
  const form = event.target.closest("form[data-queue]");
  if (!form || plainly) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  if (!sent) queue(form, event.submitter);
}, true);

document.addEventListener("fieldbell:outbox", ({ detail: { op, state, answer } }) => {
  if (op.kind !== "game" || op.op_id !== sent) return;
  if (state === "taken") location.assign(answer?.data?.next ?? location.href);
  if (state === "refused") {
    sent = "";
    say(answer.words);
    discard(op.op_id); // what was typed stands on the page still
  }
});
