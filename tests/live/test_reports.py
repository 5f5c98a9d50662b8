"""An alarm that does not get through says so in three seconds, whatever holds it: in a browser, time by the story."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.chromium import browsing
from tests.live.browser import fresh, run
from tests.live.stage import STAGE

# `store` is what the phone's own store does when it is opened.
REPORTS = (
    STAGE
    + """
real.now = Date.now;
Date.now = () => 1_000_000 + now;
indexedDB.open = () => store();
document.body.innerHTML = "<div hidden></div>";
const place = document.querySelector("div");
const words = { unsent: "Not sent: shout. ", seconds: "%s s", minutes: "%s min" };
const reports = new module.Reports(place, words, { note: () => {}, taken: () => {} });
const send = (kind) => { reports.send({ kind, url: "/", body: {}, label: "Ada: missing " }); return soon(); };
const over = (answer) => { Date.now = real.now; return end(answer); };
"""
)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with browsing() as found:
        yield found


@pytest.fixture
def page(browser: Browser) -> Page:
    """One that has not opened its store yet."""
    return fresh(browser)


def reports(page: Page, store: str, story: str) -> Any:
    return run(page, "report.js", f"const store = {store}; {REPORTS} {story}")


def test_a_store_that_never_answers_hides_no_alarm(page: Page) -> None:
    story = """
    await send("head-count");
    await send("missing");
    await go(2999);
    const patient = place.hidden;
    await go(1);
    return over([patient, place.hidden, place.textContent]);
    """
    assert reports(page, "() => ({})", story) == [True, False, "Not sent: shout. Ada: missing 3 s"]


def test_a_phone_that_can_keep_nothing_says_so_at_once(page: Page) -> None:
    story = "await send('missing'); return over([place.hidden, place.querySelectorAll('p').length]);"
    assert reports(page, "() => { throw new Error('full'); }", story) == [False, 1]
