"""A phone's surroundings under the story's control: sockets that do what it says, timers that go when it says so."""

from __future__ import annotations

# `random` is the jitter drawn next; `answers` what requests get, in their order, a function, or nothing: no network.
STAGE = """
const made = [], said = [], told = [], asked = [];
let now = 0, timers = [], random = 0, answers = [];
const real = { random: Math.random };
for (const name of ["setTimeout", "clearTimeout", "fetch"]) real[name] = window[name];
window.setTimeout = (call, ms) => { const timer = { call, at: now + ms }; timers.push(timer); return timer; };
window.clearTimeout = (timer) => { timers = timers.filter((one) => one !== timer); };
Math.random = () => random;
window.fetch = async (address) => {
  asked.push([address, now]);
  const answer = answers.length > 1 ? answers.shift() : answers[0];
  if (!answer) throw new TypeError("no network");
  return { ok: true, status: 200, type: "basic", json: async () => answer, ...answer };
};
const soon = async () => { for (let turn = 0; turn < 20; turn += 1) await null; };
const go = async (ms) => {
  const end = now + ms;
  for (;;) {
    const [next] = timers.filter((one) => one.at <= end).sort((a, b) => a.at - b.at);
    if (!next) break;
    now = next.at;
    window.clearTimeout(next);
    next.call();
    await soon();
  }
  now = end;
};
window.WebSocket = class {
  static OPEN = 1;
  constructor() { this.readyState = 0; made.push(now); WebSocket.last = this; }
  send(text) { said.push(JSON.parse(text)); }
  close() { this.readyState = 3; this.onclose?.({ code: 1000 }); }
  opens() { this.readyState = 1; this.onopen(); }
  breaks(code = 1006) { this.readyState = 3; this.onclose({ code }); }
  hears(message) { this.onmessage({ data: JSON.stringify(message) }); }
};
const end = (answer) => { Object.assign(window, real); Math.random = real.random; return answer; };
const hidden = (yes) => Object.defineProperty(document, "hidden", { configurable: true, get: () => yes });
const happens = (name, on = window) => on.dispatchEvent(new Event(name));
"""
