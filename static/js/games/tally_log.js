// Who touched whom, as it was tapped on this phone: what waits to be sent is there again after a reload, what the club
// has is not, for no page that phones keep holds sums of single children.
export class Log {
  // words: "undo" and "tapped"; back: what a tap on Undo does.
  constructor(place, words, back) {
    this.taps = [];
    Object.assign(this, { place, words, back });
  }

  add(tap) {
    this.taps.push(tap);
    this.show();
  }

  drop(op_id) {
    const found = this.taps.find((tap) => tap.op_id === op_id);
    this.taps = this.taps.filter((tap) => tap !== found);
    this.show();
    return found;
  }

  has(op_id) {
    return this.taps.some((tap) => tap.op_id === op_id);
  }

  get last() {
    return this.taps.at(-1);
  }

  show() {
    this.place.hidden = !this.taps.length;
    this.place.querySelector("summary").textContent = this.words.tapped.replace("%s", this.taps.length);
    this.place.querySelector("ul").replaceChildren(...this.taps.map((tap) => this.row(tap)).reverse());
  }

  row(tap) {
    const row = Object.assign(document.createElement("li"), { className: "row" });
    const label = Object.assign(document.createElement("span"), { className: "row-main", textContent: tap.label });
    const undo = Object.assign(document.createElement("button"), { type: "button", className: "button plain small", textContent: this.words.undo });
    undo.setAttribute("aria-label", `${this.words.undo}: ${tap.label}`);
    undo.addEventListener("click", () => this.back(tap));
    row.append(label, undo);
    return row;
  }
}

// Of the writes that wait, the touches at one address that were not taken back, in the order of the taps.
export function waitingTouches(writes, url) {
  const read = (op) => ({ ...Object.fromEntries(op.body), op_id: op.op_id, label: op.label });
  const mine = writes.filter((op) => op.kind === "touch" && op.url === url && op.state === "waiting").map(read);
  const back = new Set(mine.filter(({ what }) => what === "untouch").map(({ of }) => of));
  return mine.filter(({ what, op_id }) => what === "touch" && !back.has(op_id));
}
