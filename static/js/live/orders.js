// Commands to the bell. None is ever kept for later: heard within three seconds, or the whistle.
import { token } from "../offline/who.js";
import { newId } from "./ids.js";

const PATIENCE_MS = 3000; // the server takes nothing older than 2.5 s, so that its answer is back in time
const URGENT = ["stop", "thunder"]; // taken however late

export class Orders {
  // link: the socket; took(bell): told a bell that came by post; view(): {state, seen, at}. form: where to post to.
  constructor(form, words, { link, took, view }) {
    Object.assign(this, { form, words, link, took, view, waiting: new Map() });
    this.note = document.querySelector("[data-note]");
  }

  // fields: what the command says beside who, when and what its sender had seen.
  give(fields, button) {
    const { state, at } = this.view();
    const command = { type: "command", op_id: newId(), seen: state.seq, ...fields };
    if (at !== null) command.at_ms = at;
    this.begin(command, button);
    // A line without a network keeps what is said for later, and what has no instant is never too late: a post ends.
    const mayWait = at !== null || URGENT.includes(command.kind);
    if (!mayWait || !this.link.send(command)) this.post(command);
  }

  begin(command, button) {
    button.setAttribute("aria-busy", "true");
    this.tell(this.words.sending);
    const deadline = setTimeout(() => this.unheard(command.op_id), PATIENCE_MS);
    this.waiting.set(command.op_id, { button, deadline, kind: command.kind });
  }

  // The same command by post: its id makes it count once.
  async post(command) {
    const body = new FormData();
    for (const [name, value] of Object.entries(command)) if (name !== "type") body.set(name, value);
    if (command.kind === "add") { body.delete("kind"); body.delete("seconds"); body.set("add", command.seconds); }
    try {
      const headers = { Accept: "application/json", "X-CSRFToken": token() };
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

  // The line is dead, whatever it says: ask it at once, so that the next tap goes another way.
  unheard(id) {
    const one = this.end(id);
    if (!one) return;
    this.tell(URGENT.includes(one.kind) ? this.words.unheard_stop : this.words.unheard);
    this.link.beat();
  }

  end(id) {
    const one = this.waiting.get(id);
    if (!one) return null;
    clearTimeout(one.deadline);
    one.button.removeAttribute("aria-busy");
    this.waiting.delete(id);
    return one;
  }

  tell(text) {
    this.note.textContent = text;
    this.note.hidden = !text;
  }
}
