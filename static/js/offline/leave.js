// Signing out takes everything of this adult off the phone; what was not sent yet is sent first, or said to be lost.
import { button, note } from "./draw.js";
import { dropTapes, purge } from "./kept.js";
import { discard, pending, sendSoon } from "./outbox.js";
import { fill, words } from "./words.js";

async function unsent() {
  return (await pending()).filter(({ state }) => state !== "taken");
}

async function leave(form) {
  for (const op of await unsent()) await discard(op.op_id);
  await purge();
  dropTapes();
  form.submit();
}

export function watchLeaving(root) {
  const form = root.querySelector("form[data-leave]");
  form?.addEventListener("submit", async (event) => {
    event.preventDefault();
    await sendSoon();
    const left = await unsent();
    if (!left.length) return leave(form);
    const warning = note(fill(words.leave, { n: left.length }));
    const place = root.querySelector("#messages");
    place.replaceChildren(warning, button(words.leave_anyway, () => leave(form)));
    place.scrollIntoView({ block: "nearest" });
  });
}
