// A score counted by taps. It lies in the form until it is kept; the rule that ends a game is said, never enforced.
const form = document.querySelector("[data-score]");
const told = form.querySelector("[data-score-told]");
const rule = JSON.parse(document.getElementById("score-rule").textContent);
const figures = [...form.querySelectorAll(".score-figure")];
const MOST = 99;

// 0 or 1, or null while the game goes on: the twin of the engine's `Until`.
export function winner([first, second], { first_to, best_of, lead = 1 }) {
  const needed = first_to ?? (best_of ? Math.floor(best_of / 2) + 1 : Infinity);
  const ahead = best_of ? 1 : lead;
  if (Math.max(first, second) < needed || Math.abs(first - second) < ahead) return null;
  return first > second ? 0 : 1;
}

function tell() {
  const won = winner(figures.map((field) => Number(field.value) || 0), rule);
  told.textContent = won === null ? "" : form.dataset.won.replace("%s", figures[won].dataset.side);
}

for (const button of form.querySelectorAll("[data-step]")) {
  button.hidden = false;
  button.addEventListener("click", () => {
    const field = button.parentElement.querySelector(".score-figure");
    field.value = Math.min(MOST, Math.max(0, (Number(field.value) || 0) + Number(button.dataset.step)));
    for (const other of figures) other.value ||= "0"; // a side that has none yet has 0
    tell();
  });
}
form.addEventListener("input", tell);
tell();
