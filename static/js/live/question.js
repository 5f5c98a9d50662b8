// One question over the whole screen: a sentence, its answers as buttons, nothing chosen beforehand.
import { afterPaint } from "./paint.js";

export class Question {
  constructor(dialog) {
    this.dialog = dialog;
    dialog.addEventListener("close", () => dialog.replaceChildren());
  }

  // lead: about whom or where. answers: [{text, note, danger, act}]; foot: the same, at the edge. look: "names" or
  // "figures-only".
  ask({ text, lead = "", answers, foot = [], look = "" }) {
    const { dialog } = this;
    const title = document.createElement("h2");
    title.id = "ask-title";
    title.tabIndex = -1;
    title.textContent = text;
    const about = document.createElement("p");
    about.textContent = lead;
    const list = document.createElement("div");
    list.className = `ask-answers ${look}`;
    list.append(...answers.map((answer) => this.button(answer)));
    const edge = document.createElement("div");
    edge.className = "ask-foot";
    edge.append(...foot.map((answer) => this.button({ ...answer, plain: true })));
    dialog.replaceChildren(about, title, list, edge);
    if (dialog.open) title.focus();
    else this.open();
  }

  // Painted first: making all of the page behind it inert takes a slow phone longer than the question itself.
  open() {
    const { dialog } = this;
    dialog.setAttribute("open", "");
    afterPaint(() => {
      if (!dialog.hasAttribute("open") || dialog.matches(":modal")) return;
      dialog.removeAttribute("open");
      dialog.showModal();
      dialog.querySelector("h2").focus();
    });
  }

  button({ text, note, danger, act }) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = danger ? "button danger" : "button plain";
    button.textContent = text;
    if (note) {
      const small = document.createElement("span");
      small.className = "quiet";
      small.textContent = note;
      button.append(small);
    }
    button.addEventListener("click", act);
    return button;
  }

  close() {
    this.dialog.close();
  }
}
