export function watchPrinting(root) {
  for (const button of root.querySelectorAll("[data-print]")) button.hidden = false;
  root.addEventListener("click", (event) => {
    if (event.target.closest?.("[data-print]")) window.print();
  });
}
