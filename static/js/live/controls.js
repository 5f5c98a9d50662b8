// The leader's buttons. Ten seconds after the last touch they lock: a wet or pocketed screen taps by itself.
import { onHold } from "./hold.js";

const LOCK_MS = 10_000;
const OPEN_MS = 600;

export class Controls {
  constructor(form, words, orders) {
    Object.assign(this, { form, orders });
    this.opener = form.querySelector("[data-open]");
    onHold(this.opener, OPEN_MS, { done: () => this.open(true), again: () => this.open(true) });
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      if (event.submitter && !this.locked) this.tap(event.submitter);
      else if (this.locked) orders.tell(words.locked);
    });
    for (const name of ["pointerdown", "keydown"]) form.addEventListener(name, () => { if (!this.locked) this.open(); });
    this.open();
  }

  open(wanted = false) {
    clearTimeout(this.closing);
    this.closing = setTimeout(() => this.lock(), LOCK_MS);
    if (wanted) this.orders.tell("");
    this.set(false);
    if (wanted) this.form.querySelector(".main-row .button:not([hidden], [data-open])")?.focus();
  }

  lock() {
    this.set(true);
  }

  set(locked) {
    this.locked = locked;
    this.opener.hidden = !locked;
    this.form.toggleAttribute("data-locked", locked);
  }

  tap(button) {
    const { seen } = this.orders.view();
    const fields = { kind: button.name === "add" ? "add" : button.value };
    if (fields.kind === "add") fields.seconds = Number(button.value);
    if (["next", "back", "end"].includes(fields.kind) && seen) fields.index = seen.index;
    if (button.dataset.round) fields.round = Number(button.dataset.round);
    this.orders.give(fields, button);
  }
}

// Of all buttons that speak to the bell only those that do something now.
export function showFitting(state, seen, now, marks) {
  const over = seen.kind === "over" && seen.phase === "running";
  const going = over ? "over" : seen.phase;
  const undo = state.undo_ms && now !== null && now < state.undo_ms ? "undo" : "";
  const mark = `${going} ${undo}`;
  if (mark === marks.last) return;
  marks.last = mark;
  for (const button of document.querySelectorAll("[data-when]")) {
    button.hidden = !button.dataset.when.split(" ").some((when) => when === going || when === undo);
  }
}
