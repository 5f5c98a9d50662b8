// A tap on a row as a write: what it says, of whom, and where its answer will stand.
import { complete, stateWords } from "./blank.js";

// keep(op, button): shows the write and puts it into the outbox.
export function watchTaps(root, keep) {
  // Before htmx and before the browser: either would need the network.
  root.addEventListener("submit", (event) => {
    const form = event.target.closest?.("form[data-outbox]");
    if (!form || event.defaultPrevented || !["mark", "undo", "adult", "brought"].includes(form.dataset.outbox)) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    const body = new FormData(form, event.submitter);
    body.delete("op_id");
    if (!complete(form, body)) return;
    form.closest("details")?.removeAttribute("open");
    keep(write(form, body, event.submitter), event.submitter);
  }, true);
}

// The state a row comes to by it.
export const kindOf = (op) => (op.kind === "undo" ? "cleared" : valueOf(op, "kind"));
export const valueOf = (op, name) => op.body.find(([key]) => key === name)?.[1];

function write(form, body, button) {
  const child = body.get("athlete");
  const kind = form.dataset.outbox;
  const row = child ? `mark-${child}` : form.closest(".row").id;
  const name = form.closest(".row").dataset.words ?? form.dataset.label;
  const op = { kind, url: form.getAttribute("action"), body: [...body], row, wants: "html", state: "waiting" };
  const spoken = kind !== "mark" && kind !== "undo" || body.get("kind") === "left";
  return { ...op, label: `${name}: ${spoken ? button.textContent.trim() : stateWords(kindOf(op))}` };
}
