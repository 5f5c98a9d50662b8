"use strict";
// A guardian's "cannot come": written down here first, sent when it can be, and what was said to it stands on its row.
import { button, note } from "./draw.js";
import { discard, pending, put, retry } from "./outbox.js";
import { words } from "./words.js";

function show({ op_id, row, label, state }, answer) {
  const place = document.getElementById(row);
  if (!place) return;
  let line = place.querySelector("[data-outbox-note]");
  if (!line) place.append(line = document.createElement("div"));
  line.dataset.outboxNote = state;
  const said = document.createElement("p");
  if (state === "taken") said.append(answer?.data?.said ?? label);
  else said.append(Object.assign(document.createElement("b"), { textContent: label }), ` · ${words.saved}`);
  const refused = () => [note(answer.words), button(words.again, () => retry(op_id)), button(words.throw, () => discard(op_id))];
  line.replaceChildren(...(state === "refused" ? refused() : state === "dropped" ? [] : [said]));
}

document.addEventListener("submit", (event) => {
  const form = event.target.closest?.('form[data-outbox="notice"]');
  if (!form) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  const body = [...new FormData(form, event.submitter)].filter(([name]) => name !== "op_id");
  const { row, label } = form.dataset;
  const op = { kind: "notice", url: form.getAttribute("action"), body, label, row };
  form.closest("details")?.removeAttribute("open");
  show({ ...op, state: "waiting" });
  put(op).catch(() => document.getElementById(row).append(note(words.not_kept)));
}, true);
document.addEventListener("fieldbell:outbox", ({ detail }) => {
  if (detail.op.kind === "notice") show({ ...detail.op, state: detail.state }, detail.answer);
});
for (const op of await pending()) if (op.kind === "notice") show(op, op.answer);
