// Bright sun: everything black and white. The choice stays on this phone.
const KEY = "fieldbell.sun";
const page = document.documentElement;

function keep(on) {
  try {
    if (on) localStorage.setItem(KEY, "on");
    else localStorage.removeItem(KEY);
  } catch {
    // Storage is switched off: the switch lasts for this page.
  }
}

function show(root) {
  const on = page.dataset.sun === "on";
  for (const button of root.querySelectorAll("button[data-sun]")) {
    button.setAttribute("aria-pressed", String(on));
  }
}

export function watchSun(root) {
  show(root);
  root.addEventListener("click", (event) => {
    if (!event.target.closest?.("button[data-sun]")) return;
    const on = page.dataset.sun !== "on";
    if (on) page.dataset.sun = "on";
    else delete page.dataset.sun;
    keep(on);
    show(root);
  });
}
