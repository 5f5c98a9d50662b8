// A tap that did not reach the club, or was refused, says so in the page's own words.
function say(root, words) {
  const region = root.querySelector("#messages");
  if (!region) return;
  const note = document.createElement("p");
  note.className = "trouble";
  note.textContent = words;
  region.replaceChildren(note);
  region.scrollIntoView({ block: "nearest" });
}

export function watchAnswers(root) {
  root.addEventListener("htmx:sendError", () => say(root, root.querySelector("#messages").dataset.unsent));
  root.addEventListener("htmx:responseError", () => say(root, root.querySelector("#messages").dataset.refused));
}
