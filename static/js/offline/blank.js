// Rows the page can draw before the club has answered, from the page's own templates.
import { afterPaint } from "../live/paint.js";
import { button, note } from "./draw.js";
import { discard, retry } from "./outbox.js";
import { words } from "./words.js";

const NOBODY = "00000000-0000-0000-0000-000000000000";
const NAME = "{name}";

// A template's first element with a child's id and name in the places kept free for them; values only, never markup.
export function filled(template, child, name) {
  const made = template.content.firstElementChild.cloneNode(true);
  const put = (text) => text.replaceAll(NOBODY, child).replaceAll(NAME, name);
  for (const element of [made, ...made.querySelectorAll("*")]) {
    for (const attribute of element.attributes) {
      const value = put(attribute.value);
      if (value !== attribute.value) attribute.value = value; // each write costs a slow phone something
    }
  }
  const texts = document.createTreeWalker(made, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) if (texts.currentNode.data.includes(NAME)) texts.currentNode.data = put(texts.currentNode.data);
  return made;
}

const template = (kind) => document.querySelector(`template[data-blank="${kind}"]`);
export const stateWords = (kind) => template(kind).content.querySelector("[data-state]").textContent.trim();

// The row as the tap will leave it. Flags and what else was said about the child stay.
export function blankRow(row, child, kind) {
  const made = filled(template(kind), child, row.querySelector(".mark-name b").textContent);
  made.dataset.version = row.dataset.version;
  if (row.dataset.wordUntil) made.dataset.wordUntil = row.dataset.wordUntil;
  const notes = row.querySelector(".mark-notes");
  if (notes) made.append(notes.cloneNode(true));
  afterPaint(() => window.htmx.process(made));
  return made;
}

// What a row says about a write that waits, or was refused.
export function mend(row, op) {
  row.dataset.waiting = op.op_id ?? "";
  row.querySelector("[data-outbox-note]")?.remove();
  const place = document.createElement("div");
  place.className = "mark-notes";
  place.dataset.outboxNote = op.state;
  if (op.state === "refused") {
    place.append(note(op.answer.words));
    place.append(button(words.again, () => retry(op.op_id)), button(words.throw, () => discard(op.op_id)));
  } else {
    const line = document.createElement("span");
    line.className = "quiet";
    line.textContent = words.saved;
    place.append(line);
  }
  row.append(place);
  if (op.kind === "brought" && op.state !== "refused") sayBrought(row, op.body.find(([name]) => name === "there")[1]);
}

// The answer stands where the question was, before the club has it.
function sayBrought(row, there) {
  const chosen = row.querySelector(`.brought button[value="${there}"]`);
  if (!chosen) return;
  const line = row.querySelector(".brought span");
  line.textContent = chosen.dataset.said;
  line.className = there === "no" ? "wrong" : "quiet";
}

// The two marks that need more than a tap; the server asks for the same.
export function complete(form, body) {
  const all = body.get("went") === "decided" ? ["with_whom", "reason"] : { easy: ["leave_out"] }[body.get("kind")] ?? [];
  const wanted = all.find((name) => !String(body.get(name) ?? "").trim());
  form.querySelector("[data-ask]")?.remove();
  if (!wanted) return true;
  const field = form.querySelector(`[name="${wanted}"]`);
  const ask = note(words[wanted]);
  ask.dataset.ask = "";
  field.closest(".others-part, .field").prepend(ask);
  field.focus();
  return false;
}
