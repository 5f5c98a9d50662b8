"""The whole story from an empty database, through screens only."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, Page

from tests.browser import evening as screens
from tests.browser.chromium import Watch
from tests.browser.clocks import assert_agree, deadline_of, without_sync
from tests.browser.evening import Evening
from tests.browser.servers import Served


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    with Served(tmp_path / "club") as running:
        yield running


AHEAD, BEHIND = 7, -3  # minutes by which the two phones' own clocks are wrong


def test_from_an_empty_database_to_the_guardian(served: Served, browser: Browser) -> None:
    lines = served.start()
    link = next(line for line in lines if "/set-up/" in line)
    evening = Evening(browser, Watch(served.home))
    coach, assistant, guardian = evening.phone(AHEAD), evening.phone(BEHIND), evening.phone()
    prepare(coach, assistant, guardian, link)
    run(served, evening, coach, assistant)
    assert "here" in screens.attendance(guardian, "Ada")
    evening.watch.nothing()
    assert served.broken() == []


def prepare(coach: Page, assistant: Page, guardian: Page, link: str) -> None:
    """From the set-up link to groups."""
    screens.make_club(coach, link)
    screens.bring_in_roster(coach)
    screens.join(guardian, screens.ask_in_guardian(coach, "Ada Reed"), "Greta")
    screens.join(assistant, screens.ask_in_assistant(coach), "Finn")
    screens.plan_session(coach, datetime.now(ZoneInfo("Europe/London")))
    screens.take_register(coach, absent={"Bo", "Yara"})
    screens.make_groups(coach)


def run(served: Served, evening: Evening, coach: Page, assistant: Page) -> None:
    """The bell: started, paused, cut off from its server in the middle of a part, ended."""
    screens.open_bell(coach)
    screens.follow_bell(assistant)
    screens.tap(coach, "Start")
    assert_agree(deadline_of(coach, AHEAD), deadline_of(assistant, BEHIND))
    check_can_fail(evening, coach, assistant)
    screens.tap(coach, "Pause")
    screens.expect_phase("paused", coach, assistant)
    screens.tap(coach, "Go on")
    screens.expect_phase("running", coach, assistant)
    before = deadline_of(coach, AHEAD), deadline_of(assistant, BEHIND)
    with evening.watch.asleep():
        served.kill()
        screens.expect_network(False, coach, assistant)
        served.start()
        screens.expect_network(True, coach, assistant)
    after = deadline_of(coach, AHEAD), deadline_of(assistant, BEHIND)
    for one in (*before, *after):
        assert_agree(one, after[0])
    screens.tap(coach, "End the session")
    screens.expect_phase("ended", coach, assistant)


def check_can_fail(evening: Evening, coach: Page, assistant: Page) -> None:
    """With synchronisation switched off the very same check finds the two phones minutes apart."""
    wrong = []
    for page, minutes in ((coach, AHEAD), (assistant, BEHIND)):
        alone = evening.watch.add(page.context.new_page())
        without_sync(alone, minutes)
        alone.goto(page.url)
        wrong.append(deadline_of(alone, minutes))
        alone.close()
    with pytest.raises(AssertionError):
        assert_agree(*wrong)
    assert abs(wrong[0].at - wrong[1].at) > 60_000
