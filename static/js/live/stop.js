// STOP, held for one second by any adult with an account; and what every phone shows from then on.
import { fill } from "./face.js";
import { onHold } from "./hold.js";

const HOLD_MS = 1000;

export class Stop {
  // form: the buttons, or null where nobody may stop. wall(ms): an instant on the club's clock.
  constructor(form, words, { orders, wall }) {
    Object.assign(this, { words, wall });
    const find = (name) => document.querySelector(`[data-stop-${name}]`);
    this.parts = Object.fromEntries(["why", "again"].map((name) => [name, find(name)]));
    if (!form) return;
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const button = event.submitter;
      if (button && !("hold" in button.dataset)) orders.give({ kind: "stop", reason: button.value }, button);
    });
    const done = (button) => orders.give({ kind: button.value }, button);
    const again = () => orders.tell(words.press_again);
    for (const button of document.querySelectorAll("[data-hold]")) onHold(button, HOLD_MS, { done, again });
  }

  show(state, seen) {
    if (seen.phase !== "stopped") return;
    this.put(this.parts.why, this.words.reasons[state.reason] ?? "");
    const heard = state.thunder_ms ? this.wall(state.thunder_ms) : "";
    this.put(this.parts.again, heard ? fill(this.words.thunder, heard, this.wall(seen.again_ms)) : "");
  }

  put(element, text) {
    if (!element || element.textContent === text) return;
    element.textContent = text;
    element.hidden = !text;
  }
}
