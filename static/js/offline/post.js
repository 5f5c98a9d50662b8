// What the queue tells the page and the phone's other tabs.
import { allWrites } from "./store.js";
import { owner } from "./who.js";

const others = "BroadcastChannel" in window ? new BroadcastChannel("fieldbell-outbox") : null;
let trouble = "";

function say(name, detail) {
  document.dispatchEvent(new CustomEvent(name, { detail }));
}

export function announce(op, state, answer = null) {
  say("fieldbell:outbox", { op, state, answer });
  others?.postMessage({ op, state, answer });
}

export async function count(now = trouble) {
  trouble = now;
  const mine = owner();
  const writes = (await allWrites()).filter((op) => mine && op.owner === mine);
  const many = (state) => writes.filter((op) => op.state === state).length;
  say("fieldbell:outbox-counts", { waiting: many("waiting"), refused: many("refused"), trouble });
}

if (others) {
  others.onmessage = ({ data }) => {
    if (data.op.owner !== owner()) return;
    say("fieldbell:outbox", data);
    count();
  };
}
