// Calls the turns of a running game by the bell: while that is paused or stopped, a turn stands still too. A game begun on
// this phone without a network goes by the phone's own clock until the club has said when it began.
import { begunAt } from "./begun.js";
import { sound } from "./bell.js";
import { digits } from "./clock.js";
import { fill } from "./face.js";
import { turnAt } from "./spells.js";

const LOOK_MS = 250;
const LATE_MS = 2000; // a signal missed for longer is not made up for
const STILL = ["paused", "stopped"];

const bell = document.querySelector("[data-bell]");
const lost = new Map(); // by game: what the club said last, and how long play has stood still since
const called = new Map(); // by game: the turn that was called last

function played(told, now) {
  const known = lost.get(told.game);
  if (!known || known.as_of_ms !== told.as_of_ms) lost.set(told.game, { as_of_ms: told.as_of_ms, ms: told.lost_ms, at: told.as_of_ms });
  const row = lost.get(told.game);
  if (STILL.includes(bell.dataset.phase)) row.ms += Math.max(0, now - row.at);
  row.at = Math.max(row.at, now);
  return now - told.began_ms - row.ms;
}

const put = (element, text) => { if (element.textContent !== text) element.textContent = text; };

function call(told, at, ms) {
  const key = `${at.turn} ${at.rest}`;
  const before = called.get(told.game);
  if (before === key) return;
  called.set(told.game, key);
  document.dispatchEvent(new CustomEvent("fieldbell:turn", { detail: { turn: Math.min(at.turn + 1, told.ids.length), ids: told.ids[at.turn] ?? [], rest: at.rest } }));
  const length = at.rest ? told.rest_s : told.spell_s;
  if (before !== undefined && length * 1000 - at.left_ms < LATE_MS && ms > 0) sound.play(at.rest ? "move" : "start");
}

function show(place, word, left = "", who = "") {
  put(place.querySelector("[data-turn-word]"), word);
  put(place.querySelector("[data-turn-left]"), left);
  put(place.querySelector("[data-turn-who]"), who);
}

function paint(place) {
  const known = JSON.parse(place.dataset.turns);
  const here = known.began_ms === null ? begunAt(known.enter) : null;
  const begun = known.began_ms !== null || here !== null;
  for (const form of document.querySelectorAll(`[data-begin="${known.game}"]`)) form.hidden = begun;
  if (!begun) {
    call(known, { turn: 0, rest: true, left_ms: Infinity }, 0);
    return show(place, known.words.ready, "", fill(known.words.who, (known.names[0] ?? []).join(" · ")));
  }
  if (here === null && bell.dataset.known === undefined) return; // figures wait for the clock
  const told = here === null ? known : { ...known, began_ms: here, as_of_ms: here };
  const ms = played(told, Date.now() + (here === null ? Number(bell.dataset.offset || 0) : 0));
  const at = turnAt(told, ms);
  const names = told.names[at.turn] ?? [];
  if (at.turn >= told.ids.length) show(place, told.words.over);
  else show(
    place,
    fill(at.rest ? told.words.rest : told.words.turn, at.turn + 1, told.ids.length),
    digits(at.left_ms),
    names.length ? fill(told.words.who, names.join(" · ")) : told.words.nobody,
  );
  call(told, at, ms);
}

function look() {
  for (const place of document.querySelectorAll("[data-turns]")) paint(place);
}

// Whoever came to listen late is told again.
document.addEventListener("fieldbell:turn-wanted", () => called.clear());
if (bell) setInterval(look, LOOK_MS);
