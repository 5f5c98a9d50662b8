// A heat as it comes in: each tap gives the next place, a tap on somebody who is in takes the place back.
// Nothing of it is kept on the phone: the form sends it, or it is gone with the page.
function placeOf(row) {
  return Number(row.querySelector("[data-place]").value) || 0;
}

export function placed(places, row, tie) {
  const others = places.filter(Boolean);
  if (places[row]) {
    return places.map((place, at) => (at === row ? 0 : place > places[row] ? place - 1 : place));
  }
  const next = tie && others.length ? Math.max(...others) : others.length + 1;
  return places.map((place, at) => (at === row ? next : place));
}

// The times that look impossible; what is no time at all the club says itself.
export function odd(texts, least, most) {
  const ms = (text) => 1000 * text.replaceAll(",", ".").split(":").reduce((all, part) => 60 * all + Number(part), 0);
  return texts.filter((text) => text.trim() && (ms(text) < least || ms(text) > most));
}

// Asked once, also without a network: kept once more it counts as it is.
export function question(form) {
  const outside = (text) => ({ dataset: { least, most, asks } }) => asks && odd([text], Number(least), Number(most)).length;
  const times = [...form.querySelectorAll("[name^=time_]")].filter((time) => time.value !== time.defaultValue);
  const found = times.map((time) => [time.value.trim(), [form, time.closest("[data-row]")].find(outside(time.value))]);
  return found.filter(([, place]) => place).map(([text, place]) => place.dataset.asks.replace("%s", text)).join(" ");
}

document.addEventListener("submit", (event) => {
  const form = event.target.closest("[data-finish]");
  const asked = form ? question(form) : "";
  if (!asked || form.elements.sure.value === asked) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  form.elements.sure.value = asked;
  const told = document.querySelector("[data-queued]");
  Object.assign(told, { textContent: asked, hidden: false });
  told.focus();
}, true);

function show(rows) {
  for (const row of rows) {
    const place = placeOf(row);
    const tap = row.querySelector("[data-tap]");
    tap.querySelector("[data-figure]").textContent = place || "";
    tap.toggleAttribute("data-in", place > 0);
    tap.setAttribute("aria-pressed", String(place > 0));
  }
}

function watch(form) {
  const rows = [...form.querySelectorAll("[data-row]")];
  const tie = form.querySelector("[data-tie]");
  const put = (places) => rows.forEach((row, at) => { row.querySelector("[data-place]").value = places[at] || ""; });
  const press = (on) => tie.setAttribute("aria-pressed", String(on));
  for (const [at, row] of rows.entries()) {
    row.querySelector(".finish-place").hidden = true;
    row.querySelector("[data-plain]").hidden = true;
    row.querySelector("[data-tap]").hidden = false;
    row.querySelector("[data-tap]").addEventListener("click", ({ timeStamp }) => {
      put(placed(rows.map(placeOf), at, tie.getAttribute("aria-pressed") === "true"));
      row.querySelector("[data-state]").value = "";
      press(false);
      show(rows);
      row.dispatchEvent(new CustomEvent("fieldbell:in", { bubbles: true, detail: { in: placeOf(row) > 0, stamp: timeStamp } }));
    });
    row.querySelector("[data-state]").addEventListener("change", ({ target }) => {
      const places = rows.map(placeOf);
      if (target.value && places[at]) put(placed(places, at, false));
      show(rows);
    });
  }
  tie.addEventListener("click", () => press(tie.getAttribute("aria-pressed") !== "true"));
  form.querySelector("[data-clear]").addEventListener("click", () => { put(rows.map(() => 0)); show(rows); });
  form.querySelector("[data-finish-tools]").hidden = false;
  show(rows);
}

for (const form of document.querySelectorAll("[data-finish]")) watch(form);
