"""The stop-watch in a hand: with no network, through a reload. Nothing is lost, nothing counts twice."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from tests.browser.chromium import PHONE, SMALL_PHONE, Watch, comes_true, overflow, put_away
from tests.browser.fill import Stage
from tests.browser.servers import Served

FILL = "tests.browser.fill_watch"
COPY = """() => caches.open('fieldbell-pages').then(pages => pages.match(location.pathname))
    .then(copy => copy && copy.text()).then(Boolean)"""
TOO_SMALL = """() => [...document.querySelectorAll(':is(main, .thumb) :is(button, select, summary)')]
    .filter(one => one.checkVisibility({ visibilityProperty: true }))
    .map(one => [one.textContent.trim().slice(0, 30), one.getBoundingClientRect()])
    .filter(([, box]) => box.width && (box.height < 52 || box.width < 52)).map(([text]) => text)"""


class Hand:
    """An adult's phone at the station with the stop-watch."""

    def __init__(self, browser: Browser, served: Served, stage: Stage, who: str = "finn") -> None:
        self.context: BrowserContext = browser.new_context(
            viewport=PHONE, has_touch=True, is_mobile=True, base_url=served.home
        )
        self.context.set_default_timeout(15_000)
        self.context.add_cookies(stage.cookies(who, served.home))
        self.watch = Watch(served.home)
        self.page: Page = self.watch.add(self.context.new_page())
        self.station = f"/bell/{stage.ids['session_id']}/station/{stage.ids['station_id']}/"
        self.times = f"/bell/{stage.ids['session_id']}/times/"

    @property
    def big(self) -> Locator:
        return self.page.locator("[data-sw-big]")

    def press(self) -> None:
        """Once it listens again: right after a touch it takes no second one."""
        self.page.locator("[data-sw-big]:not([data-quiet])").tap()

    def open(self, path: str = "") -> None:
        """With the worker in charge and the page kept."""
        self.page.goto(path or f"{self.station}stopwatch/")
        self.page.wait_for_function("() => navigator.serviceWorker.controller !== null")
        comes_true(self.page, COPY)
        if not path:
            self.ready()

    def ready(self) -> None:
        self.page.wait_for_selector("html[data-stopwatch-ready][data-queue-ready]", state="attached")

    def cut(self) -> None:
        self.watch.awake = False
        self.context.set_offline(True)

    def mend(self) -> None:
        self.context.set_offline(False)
        self.page.evaluate("dispatchEvent(new Event('online'))")

    def tap(self, name: str) -> None:
        self.page.get_by_role("button", name=name, exact=True).tap()

    def pass_tenths(self, tenths: int) -> None:
        """Until the running figures have gone on so far."""
        figures = self.page.locator("[data-sw-figures]")
        begun = float(figures.inner_text())
        self.page.wait_for_function(
            "since => Number(document.querySelector('[data-sw-figures]').textContent) >= since", arg=begun + tenths / 10
        )

    def waiting(self, number: int) -> None:
        """So many are still to be sent. None: also nothing that is on its way into the queue, which each row says."""
        if not number:
            expect(self.page.locator(".sw-note")).to_have_count(0, timeout=40_000)
        sent = expect(self.page.locator("html"))
        sent.to_have_attribute("data-waiting", str(number), timeout=40_000)  # one after the other, on a busy machine


@pytest.fixture
def hand(browser: Browser, served: Served, stage: Stage) -> Iterator[Hand]:
    made = Hand(browser, served, stage)
    yield made
    put_away(made.context)


@pytest.fixture
def coach(browser: Browser, served: Served, stage: Stage) -> Iterator[Hand]:
    made = Hand(browser, served, stage, "hazel")
    yield made
    put_away(made.context)


def listed(coach: Hand, test: str) -> list[str]:
    """The rows of the coach's list of one test, one text each; every test here times another one."""
    coach.page.goto(coach.times)
    rows = coach.page.locator(f"h2:has-text('{test}') + ul .row")
    return [" ".join(text.split()) for text in rows.all_inner_texts()]


def test_twelve_finishers_named_without_a_network_reach_the_club_once(hand: Hand, coach: Hand) -> None:
    hand.open()
    page = hand.page
    page.locator("[data-sw-test]").select_option("sprint-40-m")
    hand.cut()
    hand.press()
    hand.pass_tenths(6)
    for number in range(1, 7):
        hand.press()
        expect(hand.big).to_have_text(f"Finish: {number} in")
        hand.pass_tenths(1)
    page.reload()  # in the middle of the run
    hand.ready()
    expect(page.locator("body")).to_have_attribute("data-stage", "run")
    assert float(page.locator("[data-sw-figures]").inner_text()) >= 1.2
    for number in range(7, 13):
        hand.press()
        expect(hand.big).to_have_text(f"Finish: {number} in")
        hand.pass_tenths(1)
    hand.tap("All in")
    for left in range(12, 0, -1):
        names = page.locator(".sw-names button")
        expect(names).to_have_count(left)
        names.first.tap()
    expect(page.locator(".sw-note", has_text="kept here, not sent yet")).to_have_count(12)
    hand.waiting(12)
    page.reload()
    hand.ready()
    hand.waiting(12)
    expect(page.locator(".sw-row")).to_have_count(12)
    assert listed(coach, "Sprint 40 m") == []
    hand.mend()
    hand.waiting(0)
    expect(page.locator(".sw-note")).to_have_count(0)
    rows = listed(coach, "Sprint 40 m")
    assert len(rows) == 12
    assert all(re.fullmatch(r"\S+ \d+\.\d", row) for row in rows), rows
    assert [row.split()[0] for row in rows] == sorted((row.split()[0] for row in rows), key=str.casefold)
    page.reload()
    hand.ready()
    hand.waiting(0)
    assert listed(coach, "Sprint 40 m") == rows


def test_one_at_a_time_a_slip_and_a_redo(hand: Hand, coach: Hand) -> None:
    hand.open()
    page = hand.page
    page.locator("[data-sw-test]").select_option("sprint-20-m")
    page.locator("[data-sw-mode=one]").tap()
    expect(hand.big).to_be_disabled()
    first = page.locator(".sw-row").first
    name = first.locator(".sw-who").inner_text()
    first.tap()
    hand.press()
    hand.pass_tenths(6)
    hand.press()
    # The same touch must not go on to what has come under the finger.
    expect(hand.big).to_have_text(re.compile("^Next: "))
    hand.tap("Slipped")
    expect(first.locator("s")).to_have_count(1)
    hand.tap("Redo")
    expect(page.locator("[data-sw-line]")).to_contain_text("takes the place of")
    hand.press()
    page.reload()
    hand.ready()
    hand.pass_tenths(6)
    hand.press()
    expect(page.locator(".sw-row").first.locator(".sw-time")).to_have_count(1)
    hand.waiting(0)
    row = next(row for row in listed(coach, "Sprint 20 m") if row.startswith(name) and "slipped" not in row)
    assert re.fullmatch(rf"{name} \d\.\d", row.split(" best")[0].strip()), row


def test_a_name_on_the_wrong_finisher_is_put_right(hand: Hand, coach: Hand) -> None:
    hand.open()
    page = hand.page
    page.locator("[data-sw-test]").select_option("sprint-60-m")
    hand.press()
    hand.pass_tenths(6)
    hand.press()
    hand.tap("All in")
    names = page.locator(".sw-names button")
    wrong, right = names.nth(0).inner_text(), names.nth(1).inner_text()
    names.nth(0).tap()
    page.locator(".sw-row").tap()
    page.locator(".sw-names").get_by_role("button", name=right, exact=True).tap()
    expect(page.locator(".sw-row .sw-who")).to_have_text(right)
    hand.waiting(0)
    part = coach.page
    part.goto(coach.times)
    section = part.locator("h2:has-text('Sprint 60 m') + ul")
    expect(section.locator(".row")).to_have_count(1)
    assert right in section.inner_text()
    assert wrong not in section.inner_text()


def test_the_stop_watch_opens_without_a_network_where_only_the_station_was_open(hand: Hand) -> None:
    hand.open(hand.station)
    page = hand.page
    kept = "path => caches.open('fieldbell-pages').then(c => c.match(path)).then(Boolean)"
    comes_true(page, kept, f"{hand.station}stopwatch/")
    hand.cut()
    page.get_by_role("link", name="Stop-watch").tap()
    hand.ready()
    hand.press()
    hand.pass_tenths(1)


def test_targets_are_for_thumbs_and_nothing_scrolls_sideways(hand: Hand) -> None:
    hand.open()
    page = hand.page
    page.set_viewport_size(SMALL_PHONE)

    def sound() -> None:
        assert page.evaluate(TOO_SMALL) == []
        assert overflow(page) <= 0

    sound()
    page.locator("[data-sw-mode=one]").tap()
    page.locator(".sw-row").first.tap()
    sound()
    hand.press()
    box = hand.big.bounding_box()
    assert box is not None
    assert box["height"] >= 3 * 52
    hand.pass_tenths(6)
    sound()
    hand.press()
    expect(hand.big).to_have_text(re.compile("^Next: "))
    sound()
    page.locator("[data-sw-mode=many]").tap()
    hand.press()
    hand.pass_tenths(6)
    hand.press()
    hand.tap("All in")
    sound()
    page.locator(".sw-row").first.tap()
    sound()


def test_a_clock_that_was_moved_is_said(hand: Hand) -> None:
    hand.open()
    page = hand.page
    page.locator("[data-sw-mode=one]").tap()
    page.locator(".sw-row").first.tap()
    hand.press()
    hand.pass_tenths(6)
    page.evaluate("() => { const now = Date.now; Date.now = () => now() + 4000; }")
    hand.press()
    expect(page.locator("[data-sw-doubt]")).to_contain_text("clock was moved")
    assert float(page.locator("[data-sw-figures]").inner_text()) < 4  # the counter is believed, and the doubt is said


def test_signing_out_takes_what_was_timed_off_the_phone(browser: Browser, served: Served, stage: Stage) -> None:
    hand = Hand(browser, served, stage, "finn elsewhere")
    hand.open()
    page = hand.page
    page.locator("[data-sw-mode=many]").tap()
    hand.press()
    tapes = "Object.keys(localStorage).filter(key => key.startsWith('fieldbell.stopwatch.')).length"
    assert page.evaluate(tapes) == 1
    page.reload()
    hand.ready()
    assert page.evaluate(tapes) == 1
    page.get_by_role("button", name="Sign out").tap()
    expect(page.locator("#messages")).to_contain_text("A stop-watch is running.")
    page.get_by_role("button", name="Sign out and lose it").tap()
    page.wait_for_url("**/sign-in/**")
    assert page.evaluate(tapes) == 0
    put_away(hand.context)


def test_of_two_tabs_the_one_opened_last_has_the_watch(hand: Hand) -> None:
    """Both wrote the whole tape before: a finisher tapped in one was gone when the other was touched."""
    hand.open()
    first = hand.page
    first.locator("[data-sw-test]").select_option("sprint-10-m")
    hand.press()
    hand.pass_tenths(3)
    hand.press()
    second = hand.watch.add(hand.context.new_page())
    second.goto(f"{hand.station}stopwatch/")
    second.wait_for_selector("html[data-stopwatch-ready]", state="attached")
    expect(second.locator("[data-sw-big]")).to_have_text("Finish: 1 in")
    expect(first.locator("[data-sw-doubt]")).to_contain_text("another tab")
    expect(first.locator("[data-sw-big]")).to_be_hidden()
    hand.page = second
    hand.press()
    expect(hand.big).to_have_text("Finish: 2 in")
    first.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    second.reload()
    expect(hand.big).to_have_text("Finish: 2 in")
