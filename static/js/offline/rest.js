// "The rest are not here" with its undo, and an adult by name, with or without a network.
import { newId } from "../live/ids.js";
import { stateWords } from "./blank.js";
import { pending } from "./outbox.js";
import { valueOf } from "./taps.js";
import { token } from "./who.js";

const PATIENCE_MS = 3000;
const formOf = (name) => document.querySelector(`form[data-outbox="${name}"]`);
const rows = (kind) => [...document.querySelectorAll(`#children .mark[data-kind="${kind}"]`)];
const childOf = (mark) => mark.id.slice("mark-".length);

// The club takes all of them at once where it answers; not before what waits here: somebody of them may be marked in it.
async function atOnce(form) {
  if ((await pending()).some(({ state }) => state === "waiting")) return false;
  const buttons = form.querySelectorAll("button");
  for (const button of buttons) button.disabled = true;
  const body = new FormData(form);
  body.set("csrfmiddlewaretoken", token());
  const ask = { method: "POST", body, redirect: "manual", signal: AbortSignal.timeout(PATIENCE_MS) };
  const answer = await fetch(form.action, ask).catch(() => null);
  const taken = answer?.type === "opaqueredirect" || answer?.ok;
  if (taken) location.reload();
  else for (const button of buttons) button.disabled = false;
  return taken;
}

// Else each child has a write of its own, which names the rest it is part of: whoever was marked by somebody else
// meanwhile, or came, is not touched by it later.
function part(mark, kind, url, fields, send) {
  const name = mark.closest(".row").dataset.words ?? mark.querySelector("b").textContent;
  const body = [["athlete", childOf(mark)], ...fields, ["base_version", mark.dataset.version]];
  const label = `${name}: ${stateWords(kind === "undo" ? "cleared" : "absent")}`;
  send({ kind, url, body, row: mark.id, wants: "html", label, state: "waiting" });
}

// Of the two forms the one that does something now.
function offer(undo, which = "", children = []) {
  formOf("rest")?.toggleAttribute("hidden", undo);
  const form = formOf("undo-rest");
  form.hidden = !undo;
  form.elements.rest.value = which;
  form.dataset.children = children.join(" ");
}

async function rest(form, send) {
  if (await atOnce(form)) return;
  const which = form.elements.op_id.value;
  form.elements.op_id.value = newId(); // said again after an undo it is another one
  const marks = rows("cleared");
  for (const mark of marks) part(mark, "mark", mark.querySelector("form").getAttribute("action"), [["kind", "absent"], ["rest", which]], send);
  offer(true, which, marks.map(childOf));
}

async function undoRest(form, send) {
  if (await atOnce(form)) return;
  const children = form.dataset.children.split(" ");
  const which = form.elements.rest.value;
  const marks = rows("absent").filter((mark) => children.includes(childOf(mark)));
  for (const mark of marks) part(mark, "undo", form.getAttribute("action"), [["rest", which]], send);
  form.elements.op_id.value = newId();
  offer(false);
}

// After a reload without a network the page does not know what was said on this phone.
export async function recallRest() {
  const parts = (await pending()).filter((op) => valueOf(op, "rest"));
  const last = parts.at(-1);
  if (!last || !formOf("undo-rest")) return;
  const which = valueOf(last, "rest");
  const children = parts.filter((op) => valueOf(op, "rest") === which).map((op) => valueOf(op, "athlete"));
  offer(last.kind === "mark", which, children);
}

// The row of an adult whom the club does not know of yet.
export function placeAdult(op) {
  if (document.getElementById(op.row) || !valueOf(op, "name")) return;
  const row = document.createElement("li");
  row.className = "row adult";
  row.id = op.row;
  row.append(Object.assign(document.createElement("span"), { className: "row-main", textContent: valueOf(op, "name") }));
  document.querySelector("#adult-rows .rows").append(row);
}

function adult(form, send) {
  if (!form.reportValidity()) return;
  const op_id = newId();
  const body = [...new FormData(form)].filter(([name]) => name !== "op_id");
  const url = form.getAttribute("action");
  const label = `${form.elements.name.value.trim()}: ${form.querySelector("button").textContent.trim()}`;
  send({ kind: "adult", url, body: [...body, ["op_id", op_id]], row: `adult-${op_id}`, wants: "html", label, state: "waiting" });
  form.reset();
}

export function watchRest(send) {
  const acts = { rest, "undo-rest": undoRest, "adult-name": adult };
  document.addEventListener("submit", (event) => {
    const form = event.target;
    const act = acts[form.dataset?.outbox];
    if (!act) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    act(form, send);
  }, true);
}
