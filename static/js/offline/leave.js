// Signing out takes everything of this adult off the phone; what was not sent yet is sent first, or said to be lost.
import { button, note } from "./draw.js";
import { purge } from "./kept.js";
import { discard, pending, sendSoon } from "./outbox.js";
import { rememberParting } from "./parting.js";
import { endPush } from "./push.js";
import { dropTapes, openTimes } from "./tapes.js";
import { fill, words } from "./words.js";

// Where the phone lets nothing be stored, nothing waits either.
async function unsent() {
  return (await pending().catch(() => [])).filter(({ state }) => state !== "taken");
}

async function leave(form) {
  for (const op of await unsent()) await discard(op.op_id);
  await purge().catch(() => {});
  endPush();
  dropTapes();
  rememberParting();
  form.submit();
}

const many = (n, what) => (n ? [fill(n === 1 ? words[`${what}_one`] : words[`${what}_many`], { n })] : []);

// What would be lost, in sentences; none if nothing would.
async function losses(times) {
  const taps = (await unsent()).length + times.unsent;
  return [...many(taps, "leave"), ...many(times.nameless, "leave_times"), ...(times.running ? [words.leave_running] : [])];
}

function warn(place, form, said, { at }) {
  const stay = button(words.leave_not, () => place.replaceChildren());
  const ways = Object.assign(document.createElement("div"), { className: "buttons" });
  if (at) ways.append(Object.assign(document.createElement("a"), { href: at, className: "button plain small", textContent: words.leave_name }));
  ways.append(stay, button(words.leave_anyway, () => leave(form)));
  place.replaceChildren(note([...said, words.leave_lost].join(" ")), ways);
  place.scrollIntoView({ block: "nearest" });
  stay.focus();
}

export function watchLeaving(root) {
  const form = root.querySelector("form[data-leave]");
  form?.addEventListener("submit", async (event) => {
    event.preventDefault();
    await sendSoon();
    const times = openTimes();
    const said = await losses(times);
    if (said.length) warn(root.querySelector("#messages"), form, said, times);
    else await leave(form);
  });
}
