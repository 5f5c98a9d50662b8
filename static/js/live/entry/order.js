// Tapping the names in the order they stand gives each the next number; a second tap takes it away.
export function watchOrder(form) {
  form?.addEventListener("click", (event) => {
    const input = event.target.closest("label")?.querySelector("input");
    if (!input || event.target === input) return;
    event.preventDefault();
    const taken = [...form.querySelectorAll("input")].map(({ value }) => Number(value) || 0);
    input.value = input.value ? "" : Math.max(0, ...taken) + 1;
  });
}
