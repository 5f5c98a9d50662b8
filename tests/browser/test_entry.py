"""Twelve results typed on a phone: how many keys, how many requests; with no network; asked once and kept."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, Request, expect

from tests.browser.chromium import PHONE, SMALL_PHONE, Watch, comes_true, overflow, put_away
from tests.browser.fill import Stage
from tests.browser.servers import Served

FILL = "tests.browser.fill_watch"
KEPT = """() => caches.open('fieldbell-pages').then(pages => pages.match(location.pathname)).then(Boolean)"""
VALUES = [f"{5 + number / 10:.1f}" for number in range(12)]
KEYS_A_VALUE = 4  # three figures and return


class Phone:
    """The head coach's phone with the list of one test."""

    def __init__(self, browser: Browser, served: Served, stage: Stage) -> None:
        self.context = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True, base_url=served.home)
        self.context.set_default_timeout(15_000)
        self.context.add_cookies(stage.cookies("hazel", served.home))
        self.watch = Watch(served.home)
        self.page: Page = self.watch.add(self.context.new_page())
        self.keys = 0
        self.posts: list[Request] = []
        self.path = f"/bell/{stage.ids['session_id']}/enter/"

    def open(self, code: str) -> None:
        self.page.goto(f"{self.path}{code}/")
        self.page.wait_for_selector("html[data-entry-ready][data-queue-ready]", state="attached")
        self.page.on("request", lambda request: self.posts.append(request) if request.method == "POST" else None)

    def press(self, text: str, end: str = "Enter") -> None:
        for key in [*text, end]:
            self.page.keyboard.press(key)
            self.keys += 1

    def marks(self) -> list[str]:
        return [" ".join(text.split()) for text in self.page.locator("[data-marks]").all_inner_texts()]

    def shows(self, *values: str) -> None:
        """The values of the first children, once the club has them."""
        for place, value in enumerate(values):
            expect(self.page.locator("[data-marks]").nth(place)).to_have_text(value, timeout=40_000)

    def sent(self) -> None:
        expect(self.page.locator("[data-marks] .quiet")).to_have_count(0, timeout=40_000)


@pytest.fixture
def phone(browser: Browser, served: Served, stage: Stage) -> Iterator[Phone]:
    made = Phone(browser, served, stage)
    yield made
    put_away(made.context)


def test_twelve_results_take_four_keys_each_and_a_request_each(phone: Phone) -> None:
    phone.open("sprint-20-m")
    page = phone.page
    page.locator("[data-child] input[inputmode]").first.focus()
    assert page.locator("[data-child] input[inputmode]").first.get_attribute("inputmode") == "decimal"
    for value in VALUES:
        phone.press(value)
    phone.sent()
    assert phone.keys == 12 * KEYS_A_VALUE  # a key a second, slow for a thumb, is under a minute
    assert len(phone.posts) == 12
    assert phone.marks() == VALUES
    page.reload()
    assert phone.marks() == VALUES
    for size in (PHONE, SMALL_PHONE):
        page.set_viewport_size(size)
        assert overflow(page) == 0


def test_with_no_network_each_is_kept_and_reaches_the_club_once(phone: Phone) -> None:
    phone.open("sprint-30-m")
    page = phone.page
    page.wait_for_function("() => navigator.serviceWorker.controller !== null")
    comes_true(page, KEPT)
    phone.watch.awake = False
    phone.context.set_offline(True)
    page.locator("[data-child] input[inputmode]").first.focus()
    for value in VALUES[:6]:
        phone.press(value)
    expect(page.locator("html")).to_have_attribute("data-waiting", "6")
    page.reload()  # the list opens without a network, and what waits stands in it
    page.wait_for_selector("html[data-entry-ready][data-queue-ready]", state="attached")
    expect(page.locator("[data-marks] .quiet")).to_have_count(6)
    page.locator("[data-child] input[inputmode]").nth(6).focus()
    for value in VALUES[6:]:
        phone.press(value)
    phone.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    phone.sent()
    page.reload()
    assert phone.marks() == VALUES


def test_what_looks_impossible_is_asked_once_and_a_slip_is_corrected(phone: Phone) -> None:
    phone.open("sprint-40-m")
    page = phone.page
    row = page.locator("[data-child]").first
    row.locator("input[inputmode]").focus()
    phone.press("1.8")
    expect(row.locator(".entry-said")).to_contain_text("1.8 s for 40 m?")
    assert phone.posts == []
    phone.press("", "Enter")  # as it was said
    phone.press("7.9", "Tab")  # Tab keeps nothing: the second child's value stays in the field
    phone.shows("1.8", "")
    row.locator("[data-op]").tap()
    expect(row.locator("input[inputmode]")).to_have_value("1.8")
    phone.press("8.1")
    phone.shows("8.1")
    page.get_by_role("button", name="Keep these values").tap()
    phone.shows("8.1", "7.9")
    page.reload()
    phone.shows("8.1", "7.9")
