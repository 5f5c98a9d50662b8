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

// What a page asks by itself every few seconds is nobody's tap: that there is no network is said elsewhere.
const isTap = (detail) => !detail?.requestConfig || detail.requestConfig.triggeringEvent?.isTrusted === true;

export function watchAnswers(root) {
  root.addEventListener("htmx:sendError", ({ detail }) => {
    if (isTap(detail)) say(root, root.querySelector("#messages").dataset.unsent, "trouble");
  });
  root.addEventListener("htmx:responseError", () => say(root, root.querySelector("#messages").dataset.refused, "wrong"));
}
