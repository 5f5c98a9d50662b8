// data-copy="#id": copies that element's text or value; data-copied: the word the button says afterwards.
const SHOWN_MS = 2500;

function textOf(target) {
  return "value" in target ? target.value : target.textContent.trim();
}

function select(target) {
  if ("select" in target) return target.select();
  const range = document.createRange();
  range.selectNodeContents(target);
  const selection = getSelection();
  selection.removeAllRanges();
  selection.addRange(range);
}

async function copy(target) {
  // The clipboard is closed to plain http: selecting and the old command still work there.
  if (navigator.clipboard) return navigator.clipboard.writeText(textOf(target)).then(() => true, () => false);
  select(target);
  return document.execCommand("copy");
}

export function watchCopying(root) {
  for (const button of root.querySelectorAll("[data-copy]")) button.hidden = false;
  root.addEventListener("click", async (event) => {
    const button = event.target.closest?.("[data-copy]");
    const target = button && root.querySelector(button.dataset.copy);
    if (!target) return;
    if (!(await copy(target))) return select(target);
    const words = button.textContent;
    button.textContent = button.dataset.copied || words;
    setTimeout(() => { button.textContent = words; }, SHOWN_MS);
  });
}
