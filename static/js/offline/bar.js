// "3 waiting to be sent": always in sight at the thumb, with what was not taken and what to do about it.
import { button } from "./draw.js";
import { discard, pending, retry, sendSoon } from "./outbox.js";
import { fill, words } from "./words.js";

const many = (n, what) => fill(n === 1 ? words[`${what}_one`] : words[`${what}_many`], { n });

function element(tag, className, ...inside) {
  const made = Object.assign(document.createElement(tag), { className });
  made.append(...inside);
  return made;
}

function way(trouble) {
  if (trouble !== "sign-in") return button(words.send, () => sendSoon());
  const link = element("a", "button plain small", words.sign_in);
  link.href = `${words.sign_in_at}?next=${encodeURIComponent(location.pathname)}`;
  return link;
}

function line(waiting, trouble) {
  const why = trouble ? ` · ${words[trouble]}` : "";
  return element("p", "outbox-line", element("span", "", element("b", "", many(waiting, "waiting")), why), way(trouble));
}

async function list(refused) {
  const rows = (await pending()).filter((op) => op.state === "refused").map((op) => element(
    "li", "", element("p", "", element("b", "", op.label), ` ${op.answer?.words ?? ""}`),
    element("div", "buttons", button(words.again, () => retry(op.op_id)), button(words.throw, () => discard(op.op_id))),
  ));
  return element("details", "why", element("summary", "", many(refused, "refused")), element("ul", "outbox-list", ...rows));
}

export function watchQueue(place) {
  let shown = "";
  document.addEventListener("fieldbell:outbox-counts", async ({ detail }) => {
    const now = JSON.stringify(detail);
    if (now === shown) return;
    shown = now;
    const { waiting, refused, trouble } = detail;
    const open = place.querySelector("details")?.open;
    const parts = [];
    if (waiting) parts.push(line(waiting, trouble));
    if (refused) parts.push(await list(refused));
    if (now !== shown) return;
    place.replaceChildren(...parts);
    if (open) place.querySelector("details")?.setAttribute("open", "");
    place.hidden = !parts.length;
    document.documentElement.dataset.waiting = String(waiting);
  });
}
