// Calls the turns of a running game by the bell: while that is paused or stopped, a turn stands still too.
import { sound } from "./bell.js";
import { digits } from "./clock.js";
import { fill } from "./face.js";
import { turnAt } from "./spells.js";

const LOOK_MS = 250;
const LATE_MS = 2000; // a signal missed for longer is not made up for
const STILL = ["paused", "stopped"];

const bell = document.querySelector("[data-bell]");
const lost = new Map(); // by game: what the club said last, and how long play has stood still since

function played(told, now) {
  const known = lost.get(told.game);
  if (!known || known.as_of_ms !== told.as_of_ms) lost.set(told.game, { as_of_ms: told.as_of_ms, ms: told.lost_ms, at: told.as_of_ms });
  const row = lost.get(told.game);
  if (STILL.includes(bell.dataset.phase)) row.ms += Math.max(0, now - row.at);
  row.at = Math.max(row.at, now);
  return now - told.began_ms - row.ms;
}

const put = (element, text) => { if (element.textContent !== text) element.textContent = text; };

function call(place, told, at, ms) {
  const key = `${at.turn} ${at.rest}`;
  const before = place.dataset.at;
  if (before === key) return;
  place.dataset.at = key;
  document.dispatchEvent(new CustomEvent("fieldbell:turn", { detail: { turn: Math.min(at.turn + 1, told.ids.length), ids: told.ids[at.turn] ?? [], rest: at.rest } }));
  const length = at.rest ? told.rest_s : told.spell_s;
  if (before !== undefined && length * 1000 - at.left_ms < LATE_MS && ms > 0) sound.play(at.rest ? "move" : "start");
}

function paint(place) {
  const told = JSON.parse(place.dataset.turns);
  const now = Date.now() + Number(bell.dataset.offset || 0);
  const ms = played(told, now);
  const at = turnAt(told, ms);
  const over = at.turn >= told.ids.length;
  const names = told.names[at.turn] ?? [];
  put(place.querySelector("[data-turn-word]"), over ? told.words.over : fill(at.rest ? told.words.rest : told.words.turn, at.turn + 1, told.ids.length));
  put(place.querySelector("[data-turn-left]"), over ? "" : digits(at.left_ms));
  put(place.querySelector("[data-turn-who]"), over ? "" : names.length ? fill(told.words.who, names.join(" · ")) : told.words.nobody);
  call(place, told, at, ms);
}

function look() {
  if (bell.dataset.known === undefined) return; // figures wait for the clock
  for (const place of document.querySelectorAll("[data-turns]")) paint(place);
}

if (bell) setInterval(look, LOOK_MS);
