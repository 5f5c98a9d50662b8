// Our own figures, so that they are as wide as the screen allows whatever type the phone has. Each is a stroke in a box
// of 20 by 26; drawn twice, the second stroke inside the first, they can also be outlined.
const SVG = "http://www.w3.org/2000/svg";
const FIGURES = {
  0: "M8 2.6h4q5.4 0 5.4 5.4v10q0 5.4-5.4 5.4h-4q-5.4 0-5.4-5.4v-10q0-5.4 5.4-5.4z",
  1: "M4.4 8.4 11 2.6v20.8M5.4 23.4h11.2",
  2: "M2.6 8.4v-.6q0-5.2 5.2-5.2h4.4q5.2 0 5.2 5.2v.8q0 2.6-2.2 4.6L4 23.4h13.6",
  3: "M3.4 2.6h13L9.4 10.6h2.4q5.6 0 5.6 5.6v1.6q0 5.6-5.6 5.6h-3.4q-5 0-5.8-4.6",
  4: "M13.4 25.6V2.6L2.8 18h15.6",
  5: "M16.6 2.6h-12l-.8 9.8q1.8-1.8 4.8-1.8h2.8q6 0 6 6v.8q0 6-6 6h-3q-4.8 0-5.8-4.4",
  6: "M16.4 4.2q-1.8-1.6-4.6-1.6h-3.2q-6 0-6 6v8.8q0 6 6 6h2.8q6 0 6-6v-.6q0-5.8-6-5.8h-2.6q-5 0-6.2 4.4",
  7: "M2.4 2.6h14.4L8 25.2",
  8: "M8.4 2.6h3.2q5 0 5 4.7t-5 4.7h-3.2q-5 0-5-4.7t5-4.7zM8 12h4q5.4 0 5.4 5.7t-5.4 5.7h-4q-5.4 0-5.4-5.7t5.4-5.7z",
  9: "M3.6 21.8q1.8 1.6 4.6 1.6h3.2q6 0 6-6V8.6q0-6-6-6h-2.8q-6 0-6 6v.6q0 5.8 6 5.8h2.6q5 0 6.2-4.4",
  S: "M16.8 6.4q-1-3.8-5-3.8H8.4q-5.6 0-5.6 4.9t5.6 5h3.2q5.8 0 5.8 5.4t-5.8 5.5H7.8q-4.6 0-5.6-4",
  T: "M1.4 2.6h17.2M10 2.6v23",
  O: "M8 2.6h4q5.4 0 5.4 5.4v10q0 5.4-5.4 5.4h-4q-5.4 0-5.4-5.4v-10q0-5.4 5.4-5.4z",
  P: "M3.2 25.6V2.6h8.4q5.8 0 5.8 5.9t-5.8 5.9H3.2",
  ":": "M3.5 8.2h.01M3.5 18.2h.01",
};

function glyph(box) {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", box);
  svg.setAttribute("aria-hidden", "true");
  for (const name of ["stroke", "inside"]) {
    const path = document.createElementNS(SVG, "path");
    path.setAttribute("class", name);
    svg.append(path);
  }
  return svg;
}

// Write "4:59", or STOP, into an element; only what changed is drawn anew.
export function draw(place, text) {
  if (place.dataset.text === text) return;
  place.dataset.text = text;
  place.dataset.places = String(text.replace(":", "").length);
  while (place.children.length > text.length) place.lastChild.remove();
  [...text].forEach((sign, at) => {
    const colon = sign === ":";
    let svg = place.children[at];
    if (!svg || svg.classList.contains("colon") !== colon) {
      const fresh = glyph(colon ? "0 0 7 26" : "0 0 20 26");
      fresh.setAttribute("class", colon ? "colon" : "digit");
      if (svg) svg.replaceWith(fresh);
      else place.append(fresh);
      svg = fresh;
    }
    for (const path of svg.children) if (path.getAttribute("d") !== FIGURES[sign]) path.setAttribute("d", FIGURES[sign]);
  });
}
