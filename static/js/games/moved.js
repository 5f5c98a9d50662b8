// Who moved when all had to stand: a tap counts. The figure itself lies beside what else happened, to be mended by hand.
export function oneMore(text, most = 99) {
  return String(Math.min(most, (Number(text) || 0) + 1));
}

for (const button of document.querySelectorAll("[data-moved]")) {
  const field = button.closest("[data-row]").querySelector("[name^=moved_]");
  const show = () => { button.querySelector("[data-count]").textContent = field.value; };
  button.hidden = false;
  button.addEventListener("click", () => { field.value = oneMore(field.value); show(); });
  field.addEventListener("input", show);
}
