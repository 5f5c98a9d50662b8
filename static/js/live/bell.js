"use strict";
// The running session on a phone: takes the bell from the page, the socket or a request, and shows it from then on.
import { Board } from "./board.js";
import { view } from "./clock.js";
import { Controls } from "./controls.js";
import { forget, keep, recall } from "./kept.js";
import { Line } from "./line.js";
import { Orders } from "./orders.js";
import { Sound } from "./sound/sound.js";
import { Stop } from "./stop.js";
import { Sync } from "./sync.js";

const SPREAD_MS = 400; // phones that were told the same ask again at different moments

const element = document.querySelector("[data-bell]");
const written = (id) => JSON.parse(document.getElementById(id).textContent);
const words = written("bell-words");
const note = (text) => { document.querySelector("[data-net]").textContent = text; };

const { socket, state } = element.dataset;
const kept = recall(socket);
let bell = written("bell-now");
if (kept?.bell.version > bell.version) bell = kept.bell;
let known = bell.version; // of everything, not only of the bell
let asked = known;
const sync = new Sync();
sync.byWall = kept?.wallOffset ?? null;
const board = new Board(element, words, sync);
const wall = (ms) => board.face.wall(ms);
const page = { words, note, socket, state, ended: forget, pass: "pass" in element.dataset };
const line = new Line(page, sync, { heard, wall });
const [leading, stopping] = ["controls", "stop"].map((name) => document.querySelector(`form[data-${name}]`));
const orders = stopping && new Orders(stopping, words, { link: line.link, took: take, view: look });
if (leading && orders) new Controls(leading, words, orders);
board.stop = new Stop(stopping, words, { orders, wall });
export const sound = new Sound(words, sync, { state: () => bell.state, stopped: (state) => board.speaker.stopped(state) });

function look() {
  const now = sync.serverNow();
  return { state: bell.state, at: now ?? sync.byWallNow(), seen: now === null ? null : view(bell.state, now) };
}

function heard(message) {
  if (message.type === "bell") take(message);
  else if (message.type === "pong") compare(message.version);
  else if (message.type === "hint") hinted(message);
  else if (message.type === "answer") orders?.heard(message);
  board.show(bell);
  if (sync.ready && ["bell", "pong"].includes(message.type)) keep(socket, bell, sync.wallOffset);
}

// A whole bell; one that was overtaken on the way is left aside.
function take(fresh) {
  if (fresh.version < bell.version) return;
  const missed = fresh.version > known + (fresh.what ? 1 : 0);
  const ends = (fresh.state.phase === "ended") !== (bell.state.phase === "ended"); // other things are to be done then
  if (missed || ends || fresh.state.plan !== bell.state.plan) changed();
  if (fresh.state.rung !== bell.state.rung) board.speaker.say(words.rings);
  const before = bell.state;
  bell = fresh;
  sound.take(before, fresh.state);
  known = Math.max(known, fresh.version);
  board.show(bell);
}

// The heartbeat carries the version: a phone that missed a hint asks.
function compare(version) {
  if (version <= known || version <= asked) return;
  asked = version;
  line.link.send({ type: "ask" });
}

function hinted({ what, version }) {
  if (version > known + 1) line.link.send({ type: "ask" });
  known = Math.max(known, version);
  if ((what === "gate" && "gate" in element.dataset) || (what === "leader" && stopping)) location.reload();
  else changed();
}

// Names, places and flags come by an ordinary request, so that each adult gets what that adult may see.
function changed() {
  clearTimeout(changed.soon);
  const tell = () => document.body.dispatchEvent(new CustomEvent("bell-changed"));
  changed.soon = setTimeout(tell, Math.random() * SPREAD_MS);
}

document.addEventListener("visibilitychange", () => board.show(bell));
document.body.addEventListener("htmx:afterSwap", () => board.fit(bell));
line.listen();
line.link.open();
board.show(bell);
document.documentElement.dataset.bellReady = "yes";
