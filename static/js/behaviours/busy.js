// One tap sends a form once. Forms that htmx sends are left to hx-disabled-elt.
export function watchSending(root) {
  root.addEventListener("submit", (event) => {
    const form = event.target;
    if (event.defaultPrevented || form.method !== "post") return;
    if (form.dataset.sent) {
      event.preventDefault();
      return;
    }
    form.dataset.sent = "yes";
    event.submitter?.setAttribute("aria-busy", "true");
  });
  // Coming back by the browser's own button must find the form alive.
  window.addEventListener("pageshow", () => {
    for (const form of root.querySelectorAll("form[data-sent]")) delete form.dataset.sent;
    for (const button of root.querySelectorAll("button[aria-busy]")) button.removeAttribute("aria-busy");
  });
}
