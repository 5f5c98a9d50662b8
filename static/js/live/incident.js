// An incident note on the page of the bell: it can be opened, written and kept without a network.
export class NoteSheet {
  // report(what): sends. note(text): said in passing. hurt(id): the child is out from here on.
  constructor(sheet, { words, report, note, hurt }) {
    Object.assign(this, { sheet, words, report, note, hurt });
    this.form = sheet.querySelector("[data-note-form]");
    this.after = sheet.querySelector("[data-note-after]");
    sheet.addEventListener("click", (event) => { if (event.target.closest("[data-shut]")) sheet.close(); });
    this.form.addEventListener("submit", (event) => this.keep(event), true);
    document.addEventListener("click", (event) => {
      if (!event.target.closest?.("a[data-incident]")) return;
      event.preventDefault();
      this.open();
    });
  }

  open() {
    const at = this.form.elements.at;
    if (!at.value) at.value = new Date().toTimeString().slice(0, 5);
    this.form.hidden = false;
    this.after.hidden = true;
    this.sheet.showModal();
    this.sheet.querySelector("h2").focus();
  }

  keep(event) {
    event.preventDefault();
    const { athlete, head_injury: head, stays_with: stays } = this.form.elements;
    stays.setCustomValidity(head.checked && !stays.value.trim() ? this.words.stays : "");
    if (!this.form.reportValidity()) return;
    const label = `${this.words.note}: ${athlete.selectedOptions[0].text}`;
    const kind = head.checked ? "incident-head" : "incident";
    this.report({ kind, url: new URL(this.form.action).pathname, body: new FormData(this.form), label });
    if (head.checked) this.hurt(athlete.value);
    this.form.hidden = head.checked;
    this.after.hidden = !head.checked;
    if (!head.checked) this.sheet.close();
    this.form.reset();
    this.note(this.words.saved);
  }
}
