"""The server's clock as a phone keeps it, run in a real browser with clocks of our own: no waiting."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.live.browser import bare_page, run

# A phone whose own clock counts from 0 and whose server is a year ahead; `ask` is one question and answer.
PHONE = """
const clocks = { mono: 0, wall: 5_000_000, server: 31_000_000_000 };
const sync = new module.Sync(() => clocks.mono, () => clocks.wall);
const go = (ms) => { clocks.mono += ms; clocks.wall += ms; clocks.server += ms; };
const sleep = (ms) => { clocks.wall += ms; clocks.server += ms; };
const ask = (up, down) => {
  const t0 = clocks.mono;
  go(up);
  const t1 = clocks.server;
  go(down);
  sync.hear(t0, t1, t1);
};
const error = () => { const now = sync.serverNow(); return now === null ? null : now - clocks.server; };
"""


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    with bare_page() as found:
        yield found


def phone(page: Page, story: str) -> Any:
    return run(page, "sync.js", f"{PHONE} {story}")


def test_no_figures_before_eight_samples(page: Page) -> None:
    assert phone(page, "return Array.from({length: 8}, () => { ask(10, 10); return error(); });") == [None] * 7 + [0]


def test_with_four_samples_figures_after_two_seconds(page: Page) -> None:
    story = "for (let n = 0; n < 4; n++) ask(10, 10); const soon = error(); go(2000); return [soon, error()];"
    assert phone(page, story) == [None, 0]


def test_three_samples_are_never_enough(page: Page) -> None:
    assert phone(page, "for (let n = 0; n < 3; n++) ask(10, 10); go(60_000); return error();") is None


def test_the_error_stays_within_half_the_least_round_trip(page: Page) -> None:
    story = """
    const ways = [[300, 20], [90, 10], [25, 5], [400, 400], [60, 30], [8, 90], [70, 70], [200, 10]];
    for (const [up, down] of ways) ask(up, down);
    return [error(), sync.errorMs];
    """
    error, bound = phone(page, story)
    assert bound == 15
    assert 0 < abs(error) <= bound


def test_a_small_correction_is_slewed_and_a_large_one_taken_at_once(page: Page) -> None:
    story = """
    for (let n = 0; n < 8; n++) ask(10, 10);
    clocks.server += 100;
    for (let n = 0; n < 8; n++) ask(10, 10);
    const first = error();
    go(1000);
    const later = error();
    go(5000);
    const last = error();
    clocks.server += 400;
    for (let n = 0; n < 8; n++) ask(10, 10);
    return [first, later, last, error()];
    """
    first, later, last, jumped = phone(page, story)
    assert first < -80
    assert later == pytest.approx(first + 50, abs=2)
    assert (last, jumped) == (0, 0)


def test_a_burst_that_a_hanging_network_answers_late_pushes_nothing_out(page: Page) -> None:
    """Unless what is known has grown old."""
    story = """
    for (let n = 0; n < 8; n++) ask(10, 10);
    const burst = Array.from({length: 8}, () => { go(100); return clocks.mono; });
    go(5000);
    for (const t0 of burst) sync.hear(t0, clocks.server, clocks.server);
    const hung = [error(), sync.errorMs];
    ask(320, 0);
    const slow = sync.samples.at(-1)[0] < 1000;
    for (let n = 0; n < 40; n++) { go(25_000); error(); }
    const asked = clocks.mono;
    ask(320, 0);
    return [hung, slow, sync.samples.at(-1)[0] === asked];
    """
    assert phone(page, story) == [[0, 10], True, True]


def test_after_a_sleep_there_are_no_figures_until_the_clock_is_known_anew(page: Page) -> None:
    story = """
    for (let n = 0; n < 8; n++) ask(10, 10);
    const awake = sync.slept();
    sleep(180_000);
    const slept = sync.slept();
    const blank = error();
    for (let n = 0; n < 8; n++) ask(10, 10);
    return [awake, slept, blank, error()];
    """
    assert phone(page, story) == [False, True, None, 0]


def test_an_answer_to_a_question_from_before_the_sleep_is_not_believed(page: Page) -> None:
    story = """
    for (let n = 0; n < 8; n++) ask(10, 10);
    const t0 = clocks.mono - 50, t1 = clocks.server;
    sleep(180_000);
    sync.restart();
    sync.hear(t0, t1, t1);
    return sync.samples.length;
    """
    assert phone(page, story) == 0


def test_a_phone_set_wrong_by_minutes_publishes_what_is_between_the_clocks(page: Page) -> None:
    story = """
    for (let n = 0; n < 8; n++) ask(10, 10);
    sync.serverNow();
    return sync.wallOffset - (clocks.server - clocks.wall);
    """
    assert phone(page, story) == 0


def test_a_phone_that_nobody_looked_at_for_long_asks_anew_even_if_its_clock_went_on(page: Page) -> None:
    story = """
    for (let n = 0; n < 8; n++) ask(10, 10);
    const seen = error();
    go(29_000);
    const soon = error();
    go(31_000);
    let told = 0;
    sync.restarted = () => { told += 1; };
    return [seen, soon, error(), told];
    """
    assert phone(page, story) == [0, 0, None, 1]


def test_a_phone_that_slept_without_a_network_goes_by_its_wall_clock_until_it_is_answered(page: Page) -> None:
    story = """
    for (let n = 0; n < 8; n++) ask(10, 10);
    error();
    sync.goAlone();
    sleep(180_000);
    const alone = error();
    sync.hasCompany();
    for (let n = 0; n < 7; n++) ask(10, 10);
    const asking = error();
    const before = sync.turn;
    ask(10, 10);
    return [alone, asking, error(), sync.turn - before, sync.alone];
    """
    assert phone(page, story) == [0, 0, 0, 1, False]


def test_a_phone_that_never_knew_the_time_shows_none_without_a_network(page: Page) -> None:
    assert phone(page, "sync.goAlone(); return error();") is None


def test_a_phone_reloaded_without_a_network_goes_by_what_was_kept(page: Page) -> None:
    story = "sync.byWall = clocks.server - clocks.wall; sync.goAlone(); go(5000); return [error(), sync.wallOffset];"
    assert phone(page, story) == [0, 30_995_000_000]
