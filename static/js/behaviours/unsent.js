// A tap that did not reach the club, or was refused, says so in the page's own words.
function say(root, words, kind) {
  const region = root.querySelector("#messages");
  if (!region) return;
  const note = document.createElement("p");
  note.className = kind;
  note.textContent = words;
  region.replaceChildren(note);
  region.scrollIntoView({ block: "nearest" });
}

export function watchAnswers(root) {
  root.addEventListener("htmx:sendError", () => say(root, root.querySelector("#messages").dataset.unsent, "trouble"));
  root.addEventListener("htmx:responseError", () => say(root, root.querySelector("#messages").dataset.refused, "wrong"));
}
