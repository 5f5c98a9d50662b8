// A child nobody expected, written down with or without a network.
import { newId } from "../live/ids.js";
import { stateWords } from "./blank.js";
import { button, note } from "./draw.js";
import { discard, put } from "./outbox.js";
import { valueOf } from "./taps.js";
import { words } from "./words.js";

const sheet = document.getElementById("new-child");
const form = sheet?.querySelector("form");

// Its row stands at the end of the list until the club has it.
export function placeNew(op) {
  const known = document.getElementById(op.row);
  const row = known ?? document.createElement("li");
  row.className = "row child";
  row.id = op.row;
  const kind = valueOf(op, "here") ? "here" : "cleared";
  const line = document.createElement("p");
  line.append(Object.assign(document.createElement("b"), { textContent: valueOf(op, "given_name") }));
  line.append(` · ${sheet.dataset.new} · ${stateWords(kind)}`);
  const made = document.createElement("div");
  made.className = "mark mark-new";
  made.dataset.kind = kind;
  made.append(line);
  if (op.state === "refused") made.append(button(words.correct, () => correct(op)));
  row.replaceChildren(made);
  if (known) return;
  const list = document.getElementById("children");
  list.querySelector(":scope > .empty")?.remove();
  list.append(row);
}

// What was typed stands in the form again; sending it takes the place of the refused one.
function correct(op) {
  form.reset();
  for (const [name, value] of op.body) {
    const field = form.elements[name];
    if (field?.type === "checkbox") field.checked = true;
    else if (field) field.value = value;
  }
  form.dataset.instead = op.op_id;
  sheet.showModal();
}

function send(event, show) {
  event.preventDefault();
  event.stopImmediatePropagation();
  if (!form.reportValidity()) return;
  const op_id = newId();
  const body = [...new FormData(form, event.submitter)].filter(([name]) => name !== "op_id");
  const label = `${form.elements.given_name.value}: ${sheet.dataset.new}`;
  const url = form.getAttribute("action");
  const op = { kind: "new-child", url, body: [...body, ["op_id", op_id]], label, row: `new-${op_id}`, wants: "html" };
  show({ ...op, op_id, state: "waiting" });
  put(op).then(() => {
    if (form.dataset.instead) discard(form.dataset.instead);
    delete form.dataset.instead;
    form.reset();
    sheet.close();
  }, () => { document.getElementById(op.row).append(note(words.not_kept)); });
}

// Whether the list has grown is asked by how many rows stand here: this phone's own new children are among them.
function tellRows({ detail, target }) {
  if (target.id === "news") detail.parameters.listed = document.querySelectorAll("#children > [id^=row-]").length;
}

export function watchSheet(show) {
  const searched = document.querySelector("[name=q]")?.defaultValue; // then the club left rows out itself
  if (sheet && !searched) document.body.addEventListener("htmx:configRequest", tellRows);
  if (!sheet?.showModal) return;
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.("[data-sheet], [data-shut]");
    if (!link) return;
    event.preventDefault();
    if ("shut" in link.dataset) sheet.close();
    else sheet.showModal();
  });
  document.addEventListener("submit", (event) => { if (event.target === form) send(event, show); }, true);
}
