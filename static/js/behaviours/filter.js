// data-filter="#rows" on a search field: shows the rows whose words begin with what was typed; nothing moves.
const plain = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();

function fits(row, wanted) {
  const words = plain(row.dataset.words || row.textContent).split(/\s+/);
  return wanted.every((part) => words.some((word) => word.startsWith(part)));
}

function filter(field, root) {
  const wanted = plain(field.value).split(/\s+/).filter(Boolean);
  for (const row of root.querySelectorAll(`${field.dataset.filter} > .row`)) row.hidden = !fits(row, wanted);
}

export function watchFilters(root) {
  for (const field of root.querySelectorAll("[data-filter]")) (field.closest(".search") || field).hidden = false;
  root.addEventListener("input", (event) => {
    if (event.target.matches("[data-filter]")) filter(event.target, root);
  });
  // A fragment that came in anew obeys what still stands in the field.
  root.addEventListener("htmx:afterSwap", () => {
    for (const field of root.querySelectorAll("[data-filter]")) filter(field, root);
  });
}
