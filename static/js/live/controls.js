// The leader's buttons. A command is never kept for later: heard within three seconds, or the whistle.
import { newId } from "./ids.js";

const PATIENCE_MS = 3000;

export class Controls {
  // link: the socket; took(bell): told a bell that came by post; view(): {state, seen}.
  constructor(form, words, { link, took, view }) {
    Object.assign(this, { form, words, link, took, view });
    this.waiting = new Map();
    this.note = form.querySelector("[data-note]");
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      if (event.submitter) this.tap(event.submitter);
    });
  }

  tap(button) {
    const { state, seen } = this.view();
    const command = { type: "command", op_id: newId(), kind: button.name === "add" ? "add" : button.value, seen: state.seq };
    if (command.kind === "add") command.seconds = Number(button.value);
    if (["next", "back"].includes(command.kind) && seen) command.index = seen.index;
    if (button.dataset.round) command.round = Number(button.dataset.round);
    this.begin(command, button);
    if (!this.link.send(command)) this.post(command);
  }

  begin(command, button) {
    button.setAttribute("aria-busy", "true");
    this.tell(this.words.sending);
    const deadline = setTimeout(() => this.unheard(command.op_id), PATIENCE_MS);
    this.waiting.set(command.op_id, { button, deadline });
  }

  // The same command by post: its id makes it count once.
  async post(command) {
    const body = new FormData();
    for (const [name, value] of Object.entries(command)) if (name !== "type") body.set(name, value);
    if (command.kind === "add") { body.delete("kind"); body.set("add", command.seconds); }
    const token = this.form.querySelector("[name=csrfmiddlewaretoken]").value;
    try {
      const headers = { Accept: "application/json", "X-CSRFToken": token };
      const signal = AbortSignal.timeout(PATIENCE_MS);
      const answer = await fetch(this.form.action, { method: "POST", body, headers, signal, redirect: "manual" });
      const told = await answer.json();
      if (told.bell) this.took(told.bell);
      this.heard({ ...told, op_id: command.op_id, words: told.words ?? told.text ?? "" });
    } catch {
      this.unheard(command.op_id);
    }
  }

  heard({ op_id: id, words }) {
    if (this.end(id)) this.tell(words || "");
  }

  unheard(id) {
    if (this.end(id)) this.tell(this.words.unheard);
  }

  end(id) {
    const one = this.waiting.get(id);
    if (!one) return false;
    clearTimeout(one.deadline);
    one.button.removeAttribute("aria-busy");
    return this.waiting.delete(id);
  }

  tell(text) {
    this.note.textContent = text;
    this.note.hidden = !text;
  }

  // Only the buttons that do something now.
  show(state, seen, now) {
    const over = seen.kind === "over" && seen.phase === "running";
    const going = over ? "over" : seen.phase;
    const undo = state.undo_ms && now !== null && now < state.undo_ms ? "undo" : "";
    const mark = `${going} ${undo}`;
    if (mark === this.mark) return;
    this.mark = mark;
    for (const button of document.querySelectorAll("[data-when]")) {
      button.hidden = !button.dataset.when.split(" ").some((when) => when === going || when === undo);
    }
  }
}
