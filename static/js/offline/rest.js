// "The rest are not here" and an adult by name, with or without a network.
import { newId } from "../live/ids.js";
import { stateWords } from "./blank.js";
import { put } from "./outbox.js";

const PATIENCE_MS = 3000;
const valueOf = (op, name) => op.body.find(([key]) => key === name)?.[1];

// The club marks all of them at once and can take it back at once. Where it does not answer, each child who is not marked
// on this phone becomes a mark of its own: whoever came or was marked meanwhile is not touched by it later.
async function rest(form, send) {
  for (const button of form.querySelectorAll("button")) button.disabled = true;
  const ask = { method: "POST", body: new FormData(form), redirect: "manual", signal: AbortSignal.timeout(PATIENCE_MS) };
  const answer = await fetch(form.action, ask).catch(() => null);
  if (answer?.type === "opaqueredirect" || answer?.ok) return location.reload();
  form.hidden = true;
  for (const mark of document.querySelectorAll('#children .mark[data-kind="cleared"]')) {
    const child = mark.id.slice("mark-".length);
    const body = [["athlete", child], ["kind", "absent"], ["base_version", mark.dataset.version]];
    const name = mark.closest(".row").dataset.words ?? mark.querySelector("b").textContent;
    const url = mark.querySelector("form").getAttribute("action");
    send({ kind: "mark", url, body, row: mark.id, wants: "html", label: `${name}: ${stateWords("absent")}`, state: "waiting" });
  }
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
  const acts = { rest, "adult-name": adult };
  document.addEventListener("submit", (event) => {
    const form = event.target;
    const act = acts[form.dataset?.outbox];
    if (!act) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    act(form, send);
  }, true);
}
