// Small pieces of a page, made of text and never of markup.
export function note(text) {
  const line = document.createElement("p");
  line.className = "wrong";
  line.setAttribute("role", "alert");
  line.textContent = text;
  return line;
}

// Whoever goes by keyboard stays on the row that another takes the place of: on the row, for a second press would undo.
export function staying(id, change) {
  const had = document.getElementById(id)?.contains(document.activeElement);
  change();
  const row = document.getElementById(id);
  if (!had || !row || row.contains(document.activeElement)) return;
  row.tabIndex = -1;
  row.focus({ preventScroll: true });
}

export function button(text, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "button plain small";
  made.textContent = text;
  made.addEventListener("click", act);
  return made;
}
