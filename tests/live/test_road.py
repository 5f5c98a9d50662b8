"""The whole way from a phone to the server and back, in a real browser on a stage of our own: what is asked when."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

from tests.live.browser import run
from tests.live.stage import STAGE

# A phone with its line open; the server's clock is an hour ahead of the phone's.
PHONE = (
    STAGE
    + """
const { Sync } = await import("/sync.js");
document.body.innerHTML = '<p data-net></p><p data-inside>Ada</p>';
document.documentElement.dataset.gone = "";
delete document.documentElement.dataset.gone;
const AHEAD = 3_600_000;
const sync = new Sync(() => now, () => 1_000_000 + now);
const net = document.querySelector("[data-net]");
const words = { offline: "offline since %s", signed_out: "signed out", gone: "ask the leader" };
const note = (text) => { net.textContent = text; };
const page = { words, note, socket: "/ws/", state: "/state/", ended: () => told.push("ended") };
const line = new module.Line(page, sync, { heard: (message) => told.push(message.type), wall: (ms) => String(ms) });
const pong = ({ t0 }) => ({ type: "pong", t0, t1: t0 + 1_000_000 + AHEAD, t2: t0 + 1_000_000 + AHEAD, version: 1 });
const state = () => ({ type: "bell", t1: now + 1_000_000 + AHEAD, t2: now + 1_000_000 + AHEAD, version: 1 });
const answerAll = () => { while (said.length) WebSocket.last.hears(pong(said.shift())); };
"""
)
HEARD = """
line.listen();
line.link.open();
WebSocket.last.opens();
for (let turn = 0; turn < 10; turn += 1) { answerAll(); await go(100); }
"""


def phone(page: Page, story: str) -> Any:
    return run(page, "line.js", f"{PHONE} {story}")


def test_on_connecting_the_clock_is_asked_eight_times_in_a_second(page: Page) -> None:
    story = HEARD + "return end([sync.ready, sync.samples.length, Math.round(sync.wallOffset)]);"
    assert phone(page, story) == [True, 8, 3_600_000]


def test_a_burst_does_not_wait_for_an_answer_that_was_lost(page: Page) -> None:
    story = """
    line.link.open();
    WebSocket.last.opens();
    await go(450);
    const early = said.length;
    said.splice(0, 3);
    for (let turn = 0; turn < 12; turn += 1) { answerAll(); await go(100); }
    return end([early, sync.ready]);
    """
    asked, ready = phone(page, story)
    assert asked >= 5
    assert ready


def test_the_clock_is_asked_again_every_minute(page: Page) -> None:
    story = (
        HEARD
        + """
    const counts = [];
    for (let beat = 0; beat < 13; beat += 1) {
      await go(10_000);
      counts.push(said.length);
      answerAll();
      await go(50); answerAll(); await go(100); answerAll(); await go(100); answerAll();
    }
    return end(counts);
    """
    )
    counts = phone(page, story)
    assert len([count for count in counts if count > 1]) == 2  # one heartbeat each, and twice a burst among them


@pytest.mark.parametrize("event", ["visibilitychange", "pageshow", "online"])
def test_coming_back_asks_at_once(page: Page, event: str) -> None:
    on = "document" if event == "visibilitychange" else "window"
    story = HEARD + f"await go(3000); said.length = 0; happens('{event}', {on}); return end(said.length);"
    assert phone(page, story) >= 2  # a heartbeat, and the first question of a burst


def test_a_page_that_is_put_away_closes_its_line_and_opens_a_new_one_when_it_is_back(page: Page) -> None:
    story = (
        HEARD
        + """
    const first = WebSocket.last;
    happens("pagehide");
    const closed = first.readyState;
    await go(120_000);
    const away = made.length;
    happens("pageshow");
    return end([closed, away, made.length]);
    """
    )
    assert phone(page, story) == [3, 1, 2]


def test_nothing_is_asked_while_nobody_looks(page: Page) -> None:
    story = HEARD + "hidden(true); happens('visibilitychange', document); said.length = 0; line.asker.burst(); "
    assert phone(page, story + "hidden(false); return end(said.length);") == 0


def test_where_sockets_are_blocked_the_state_is_fetched_every_ten_seconds(page: Page) -> None:
    story = """
    answers = [];
    line.link.open();
    Object.defineProperty(answers, "0", { configurable: true, get: state });
    answers.length = 1;
    WebSocket.last.breaks();
    await soon();
    await go(65_000);
    const times = asked.map(([, at]) => at);
    const late = times.filter((at) => at > 10_000);
    return end([sync.ready, times.slice(0, 4), late.slice(1).map((at, n) => at - late[n]), net.textContent]);
    """
    ready, first, later, note = phone(page, story)
    assert ready
    assert first == [0, 500, 1000, 1500]  # quickly, until the clock is known
    assert set(later) == {10_000}
    assert note == ""


def test_without_any_network_it_is_said_once_since_when_and_the_clock_goes_on(page: Page) -> None:
    story = (
        HEARD
        + """
    sync.serverNow();
    await go(5000);
    WebSocket.last.breaks();
    await soon();
    const said_first = net.textContent;
    await go(100_000);
    const [later, off] = [net.textContent, sync.serverNow() - (now + 1_000_000 + AHEAD)];
    WebSocket.last.opens();
    return end([said_first, later === said_first, off, net.textContent]);
    """
    )
    first, same, off, back = phone(page, story)
    assert first.startswith("offline since ")
    assert (same, off, back) == (True, 0, "")


@pytest.mark.parametrize(("code", "says"), [(4001, "signed out"), (4003, "ask the leader")])
def test_lost_rights_close_for_good_and_the_page_says_why(page: Page, code: int, says: str) -> None:
    status = 401 if code == 4001 else 404
    story = (
        HEARD
        + f"""
    answers = [{{ ok: false, status: {status} }}];
    WebSocket.last.breaks({code});
    await soon();
    await go(600_000);
    happens("online");
    const names = document.querySelector("[data-inside]").textContent;
    return end([made.length, net.textContent, names, told.includes("ended")]);
    """
    )
    assert phone(page, story) == [1, says, "", True]


def test_a_sign_out_elsewhere_does_not_close_a_phone_that_is_still_let_in(page: Page) -> None:
    story = (
        HEARD
        + """
    answers = [state()];
    WebSocket.last.breaks(4001);
    await soon();
    await go(20_000);
    return end([made.length > 1, document.querySelector("[data-inside]").textContent]);
    """
    )
    assert phone(page, story) == [True, "Ada"]


def test_a_network_that_asks_for_its_own_sign_in_is_no_sign_out(page: Page) -> None:
    story = (
        HEARD
        + """
    answers = [{ ok: false, status: 0, type: "opaqueredirect" }];
    WebSocket.last.breaks();
    await soon();
    await go(30_000);
    return end([made.length > 1, net.textContent.startsWith("offline since")]);
    """
    )
    assert phone(page, story) == [True, True]
