// "Finish register" behind the marks that wait: with a network on to the groups, without one the way there is shown.
import { pending, put } from "./outbox.js";

const form = document.querySelector("form[data-finish]");
const way = document.querySelector("[data-after-finish]");
let goes = false; // on to the groups as soon as it is taken, if nothing else is touched until then

function show(finished) {
  form.hidden = finished;
  way.hidden = !finished;
}

function finish(event) {
  event.preventDefault();
  event.stopImmediatePropagation();
  goes = true;
  document.addEventListener("pointerdown", () => { goes = false; }, { capture: true, once: true });
  show(true);
  const label = form.querySelector("button").textContent.trim();
  // Where the phone can keep nothing the form goes its ordinary way.
  put({ kind: "finish", url: form.getAttribute("action"), label }).catch(() => form.submit());
}

function told({ op, state }) {
  if (op.kind !== "finish") return;
  if (state === "taken" && goes) location.assign(way.href);
  show(["waiting", "taken"].includes(state));
}

export async function watchFinish() {
  if (!form) return;
  document.addEventListener("submit", (event) => { if (event.target === form) finish(event); }, true);
  document.addEventListener("fieldbell:outbox", ({ detail }) => told(detail));
  const waits = (await pending()).some(({ kind, state }) => kind === "finish" && state === "waiting");
  if (waits) show(true);
}
