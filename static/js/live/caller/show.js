// A cue over the whole screen: a colour fills it, a direction is an arrow as large as fits, the rest is as large as fits.
const SVG = "http://www.w3.org/2000/svg";
const TURN = { forward: 0, right: 90, back: 180, left: 270 };
const COLOURS = ["red", "blue", "yellow", "white"];
const ARROW = "M50 4 92 50H68V96H32V50H8z";
const MOST_STRETCH = 2.4; // letters drawn higher than wide are read from further away
const PROBE_PX = 100;

function arrow(turn) {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", "0 0 100 100");
  const path = document.createElementNS(SVG, "path");
  path.setAttribute("d", ARROW);
  path.setAttribute("transform", `rotate(${turn} 50 50)`);
  svg.append(path);
  return svg;
}

export class Show {
  constructor(element, texts) {
    Object.assign(this, { element, texts, word: null });
    const find = (name) => element.querySelector(`[data-cue-${name}]`);
    Object.assign(this, { shown: find("shown"), counted: find("count"), spoken: find("say") });
    window.addEventListener("resize", () => this.fit());
  }

  open() {
    this.element.hidden = false;
    this.element.requestFullscreen?.().catch(() => {});
    this.element.querySelector("button").focus();
  }

  close() {
    if (document.fullscreenElement) document.exitFullscreen().catch(() => {});
    this.dark("");
    this.element.hidden = true;
  }

  // word null: between two cues.
  dark(text = "") {
    this.word = null;
    delete this.element.dataset.colour;
    this.shown.replaceChildren(...(text ? [this.letters(text)] : []));
    this.fit();
  }

  cue(word, count) {
    this.word = word;
    const text = this.texts.get(word) ?? word;
    if (COLOURS.includes(word) && this.texts.has(word)) this.element.dataset.colour = word;
    else delete this.element.dataset.colour;
    const turn = this.texts.has(word) ? TURN[word] : undefined;
    this.shown.replaceChildren(...(turn === undefined ? [] : [arrow(turn)]), this.letters(text));
    this.counted.textContent = count;
    this.spoken.textContent = text;
    this.fit();
  }

  letters(text) {
    const line = document.createElement("b");
    line.textContent = text.toLocaleUpperCase(document.documentElement.lang);
    return line;
  }

  // As wide as the screen, then as high as there is room: never wider than it, never more than so much stretched.
  fit() {
    const line = this.shown.querySelector("b");
    if (!line) return;
    line.style.fontSize = `${PROBE_PX}px`;
    line.style.transform = "";
    const { clientWidth, clientHeight } = this.shown;
    const shared = this.shown.querySelector("svg") ? 1 : 0; // with an arrow above it or, sideways, beside it
    const sideways = clientWidth > clientHeight;
    const width = clientWidth * (shared && sideways ? 0.48 : 1);
    const height = clientHeight * (shared && !sideways ? 0.23 : 0.94);
    const size = Math.min((PROBE_PX * width * 0.96) / line.offsetWidth, height);
    const stretch = Math.min(MOST_STRETCH, height / size);
    line.style.fontSize = `${size}px`;
    line.style.transform = `scaleY(${stretch})`;
  }
}
