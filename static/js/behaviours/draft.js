// A form sent after the sign-in had run out: what was typed is filled in again once its adult has signed in.
// It stays in this tab only, and never holds a password, a file or what must not stay on the phone (data-no-draft).
const KEY = "fieldbell.draft";
const NEVER = ["password", "file", "hidden", "submit"];
const owner = () => document.documentElement.dataset.owner;

function read() {
  try {
    return JSON.parse(sessionStorage.getItem(KEY));
  } catch {
    return null;
  }
}

function write(draft) {
  try {
    if (draft) sessionStorage.setItem(KEY, JSON.stringify(draft));
    else sessionStorage.removeItem(KEY);
  } catch {
    // Storage is switched off or full: the form is as before.
  }
}

const typed = (form) => [...form.elements].filter((field) => field.name && !NEVER.includes(field.type));
const ticks = ({ type }) => type === "checkbox" || type === "radio";

function keep({ target: form }) {
  if (form.method !== "post" || "noDraft" in form.dataset || form.querySelector("[type=password]") || !owner()) return;
  const fields = typed(form).map((field) => [field.name, field.value, ticks(field) ? field.checked : null]);
  const action = form.getAttribute("action") ?? "";
  if (fields.length) write({ page: location.pathname + location.search, action, owner: owner(), fields });
}

function fillAgain(root, draft) {
  const form = [...root.forms].find((one) => one.method === "post" && (one.getAttribute("action") ?? "") === draft.action
    && draft.fields.every(([name]) => one.elements[name]));
  if (!form) return;
  for (const [name, value, ticked] of draft.fields) {
    const field = typed(form).find((one) => one.name === name && (!ticks(one) || one.value === value));
    if (!field) continue;
    if (ticked === null) field.value = value;
    else field.checked = ticked;
  }
  form.closest("details")?.setAttribute("open", "");
  const note = document.createElement("p");
  note.className = "remark";
  note.textContent = root.querySelector("#messages").dataset.draft;
  root.querySelector("#messages").append(note);
}

export function watchDrafts(root) {
  root.addEventListener("submit", keep);
  const draft = read();
  if (!draft) return;
  const next = root.querySelector("#sign-in [name=next]");
  if (next) {
    // Sign in leads back to the page with the form, not to where the form was sent.
    next.value = draft.page;
    write({ ...draft, wanted: true });
  } else if (draft.wanted && draft.owner === owner() && location.pathname + location.search === draft.page) {
    fillAgain(root, draft);
    write(null);
  } else if (performance.getEntriesByType("navigation")[0]?.type === "navigate") {
    write(null);
  }
}
