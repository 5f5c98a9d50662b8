// After a refused form the list of what is wrong is read first.
export function focusTrouble(root) {
  root.querySelector("[data-focus-here]")?.focus();
}
