// data-submit on a choice sends its form at once; the button that does it without JavaScript is then not needed.
export function watchChoices(root) {
  for (const button of root.querySelectorAll("[data-submit-button]")) button.hidden = true;
  root.addEventListener("change", (event) => {
    if (event.target.closest?.("[data-submit]")) event.target.form?.requestSubmit();
  });
}
