// Small pieces of a page, made of text and never of markup.
export function note(text) {
  const line = document.createElement("p");
  line.className = "wrong";
  line.setAttribute("role", "alert");
  line.textContent = text;
  return line;
}

export function button(text, act) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "button plain small";
  made.textContent = text;
  made.addEventListener("click", act);
  return made;
}
