// Small pieces of the page, made of text and never of markup. `key` lets a finger or the keyboard find its place again.
export function make(tag, { text = "", key = "", act = null, ...more } = {}, ...inside) {
  const made = Object.assign(document.createElement(tag), more);
  if (tag === "button") made.type = "button";
  if (text) made.append(text);
  if (key) made.dataset.key = key;
  if (act) made.addEventListener("click", act);
  made.append(...inside.filter(Boolean));
  return made;
}

export function button(text, act, { key = text, pressed = null, ...more } = {}) {
  const made = make("button", { className: "button plain", text, key, act, ...more });
  if (pressed !== null) made.setAttribute("aria-pressed", String(pressed));
  return made;
}

// Put in anew what changed, and leave the focus where it was.
export function fillPlace(place, parts) {
  const key = place.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  place.replaceChildren(...parts.filter(Boolean));
  if (key) place.querySelector(`[data-key="${CSS.escape(key)}"]`)?.focus();
}
