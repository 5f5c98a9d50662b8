// A pass that is over never comes back, so what it left on the phone goes, whoever opens the next page and whenever.
import { allWrites, dropWrite, fact, setFact } from "./store.js";
import { dropTapes } from "./tapes.js";
import { isPast, owner } from "./who.js";

const page = document.documentElement;

// Which pass this phone has, and until when it is good; written down while one of its pages is open.
export async function rememberPass() {
  const until = Number(page.dataset.until);
  if ("guest" in page.dataset && until) await setFact("pass", { owner: owner(), until });
}

// How many taps were lost with the pass.
export async function dropOldPass() {
  const pass = await fact("pass");
  if (!pass || pass.owner === owner() || !(await isPast(pass.until))) return 0;
  const left = (await allWrites()).filter((op) => op.owner === pass.owner);
  for (const op of left) await dropWrite(op.number);
  dropTapes(pass.owner);
  await setFact("pass", null);
  return left.filter(({ state }) => state !== "taken").length;
}
