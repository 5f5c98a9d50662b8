"""When a phone reconnects and when it does not, run in a real browser with a socket and a clock of our own."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.live.browser import bare_page, run

# Sockets that do what the story says, and timers that go when it says so. `random` is the jitter drawn next.
STAGE = """
const made = [], said = [], told = [];
let now = 0, timers = [], random = 0;
const real = { setTimeout: window.setTimeout, clearTimeout: window.clearTimeout, random: Math.random };
window.setTimeout = (call, ms) => { const timer = { call, at: now + ms }; timers.push(timer); return timer; };
window.clearTimeout = (timer) => { timers = timers.filter((one) => one !== timer); };
Math.random = () => random;
const go = (ms) => {
  const end = now + ms;
  for (;;) {
    const [next] = timers.filter((one) => one.at <= end).sort((a, b) => a.at - b.at);
    if (!next) break;
    now = next.at;
    window.clearTimeout(next);
    next.call();
  }
  now = end;
};
window.WebSocket = class {
  static OPEN = 1;
  constructor() { this.readyState = 0; made.push(now); this.number = made.length; WebSocket.last = this; }
  send(text) { said.push(JSON.parse(text).type); }
  close() { this.readyState = 3; this.onclose?.({ code: 1000 }); }
  opens() { this.readyState = 1; this.onopen(); }
  breaks(code = 1006) { this.readyState = 3; this.onclose({ code }); }
  pongs() { this.onmessage({ data: '{"type": "pong"}' }); }
};
const note = (what) => (value) => told.push(value === undefined || what === "heard" ? what : `${what} ${value}`);
const hooks = Object.fromEntries(["opened", "heard", "lost", "gone"].map((what) => [what, note(what)]));
hooks.ping = () => ({ type: "ping" });
const link = new module.Link("ws://phone.example/", hooks);
const end = (answer) => { Object.assign(window, real); Math.random = real.random; return answer; };
"""


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    with bare_page() as found:
        yield found


def line(page: Page, story: str) -> Any:
    return run(page, "socket.js", f"{STAGE} {story}")


@pytest.mark.parametrize("code", [4001, 4003])
def test_who_lost_the_rights_does_not_come_back(page: Page, code: int) -> None:
    story = f"""
    link.open();
    WebSocket.last.opens();
    WebSocket.last.breaks({code});
    go(600_000);
    link.wake();
    return end([made, told]);
    """
    assert line(page, story) == [[0], ["opened", f"gone {code}"]]


def test_the_wait_is_drawn_between_half_a_second_and_what_the_failures_allow(page: Page) -> None:
    story = """
    const waits = [];
    link.open();
    for (const [failures, draw] of [[0, 0], [1, 1], [2, 1], [3, 0], [4, 1], [9, 1], [9, 0], [9, 0.5]]) {
      random = draw;
      link.failures = failures;
      WebSocket.last.breaks();
      waits.push(timers[0].at - now);
      go(20_000);
      WebSocket.last.readyState === 3 || clearTimeout(link.deadline);
      if (!link.socket) link.open();
    }
    return end(waits);
    """
    assert line(page, story) == [500, 1000, 2000, 500, 8000, 15_000, 500, 7750]


def test_a_silent_line_is_given_up_after_four_seconds(page: Page) -> None:
    story = """
    link.open();
    WebSocket.last.opens();
    WebSocket.last.pongs();
    go(9999);
    const calm = said.length;
    go(1);
    const asked = said.length;
    go(3999);
    const patient = told.includes("lost");
    go(1);
    return end([calm, asked, patient, told.includes("lost")]);
    """
    assert line(page, story) == [1, 2, False, True]


def test_waking_asks_at_once_and_waits_two_seconds(page: Page) -> None:
    story = """
    link.open();
    WebSocket.last.opens();
    WebSocket.last.pongs();
    go(100);
    link.wake();
    const asked = said.length;
    go(1999);
    const patient = told.includes("lost");
    go(1);
    return end([asked, patient, told.includes("lost")]);
    """
    assert line(page, story) == [2, False, True]


def test_a_socket_that_never_opens_is_given_up_after_five_seconds(page: Page) -> None:
    assert line(page, "link.open(); go(4999); const before = told.length; go(1); return end([before, told]);") == [
        0,
        ["lost"],
    ]


def test_a_line_that_was_given_up_says_nothing_any_more(page: Page) -> None:
    story = """
    link.open();
    const old = WebSocket.last;
    old.opens();
    go(4000);
    const lost = told.filter((what) => what === "lost").length;
    old.onclose?.({ code: 1006 });
    return end([lost, told.filter((what) => what === "lost").length]);
    """
    assert line(page, story) == [1, 1]
