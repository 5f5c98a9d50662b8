// "Other": the marks behind the second tap, from the page itself, so that they open at once and without a network.
import { filled } from "./blank.js";

const template = document.querySelector("template[data-blank-other]");

function open(row, child) {
  const more = document.getElementById(`more-${child}`);
  const name = row.querySelector(".mark-name b").textContent;
  const form = filled({ content: template.content.cloneNode(true) }, child, name);
  const shut = filled({ content: tail() }, child, name);
  const left = (row.dataset.leaveOut ?? "").split(" ");
  for (const tick of form.querySelectorAll("[name=leave_out]")) tick.checked = left.includes(tick.value);
  for (const field of form.querySelectorAll("[name=base_version]")) field.value = document.getElementById("news").dataset.version;
  form.querySelector("[value=here]")?.toggleAttribute("hidden", row.dataset.kind === "here");
  more.replaceChildren(form, shut);
}

// The second element of the template: the way to close without a mark.
function tail() {
  const all = template.content.cloneNode(true);
  all.firstElementChild.remove();
  return all;
}

export function watchOthers(root) {
  if (!template) return;
  root.addEventListener("click", (event) => {
    const link = event.target.closest?.("[data-other], [data-shut-other]");
    if (!link || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if ("shutOther" in link.dataset) link.closest(".mark-more").replaceChildren();
    else open(document.getElementById(`mark-${link.dataset.other}`), link.dataset.other);
  }, true);
}
