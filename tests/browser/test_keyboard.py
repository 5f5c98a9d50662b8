"""The whole of a coach's evening by keyboard alone: the focus is seen, follows the page, and is never caught."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.chromium import SMALL_PHONE, Watch, phone, put_away
from tests.browser.evening import PASSWORD, expect_phase, make_club
from tests.browser.keys import Keys
from tests.browser.servers import Served

CHILDREN = ("Ada Reed", "Bo Weir", "Cleo Sedge", "Dev Otter", "Eli Ford", "Fay Alder")
ROSTER = "given_name,family_name,date_of_birth\n" + "\n".join(
    f"{name.replace(' ', ',')},201{5 + at % 3}-04-0{at + 1}" for at, name in enumerate(CHILDREN)
)
HOLD_S = 1.3


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    with Served(tmp_path / "club") as running:
        yield running


def test_an_evening_by_keyboard_alone(served: Served, browser: Browser) -> None:
    link = next(line for line in served.start() if "/set-up/" in line)
    watch = Watch(served.home)
    context, first = phone(browser, watch)
    make_club(first, link)
    put_away(context)
    context = browser.new_context(viewport=SMALL_PHONE, base_url=served.home)
    page = watch.add(context.new_page())
    keys = Keys(page)
    sign_in(keys)
    bring_in_list(keys)
    plan_session(keys)
    take_register(keys)
    make_groups(keys)
    run_bell(keys)
    assert keys.wrong == []
    put_away(context)
    watch.nothing()
    assert served.broken() == []


def sign_in(keys: Keys) -> None:
    keys.page.goto("/people/sign-in/")
    keys.page.wait_for_selector("html[data-ready]", state="attached")
    keys.write("E-mail", "hazel@alder.example")
    keys.write("Password", PASSWORD)
    keys.follow("Sign in")


def bring_in_list(keys: Keys) -> None:
    keys.follow("Squad list")
    keys.follow("Bring in a list")
    keys.write("Or paste the rows", ROSTER)
    keys.follow("Read the list")
    keys.follow("Show what would happen")
    keys.follow("Take it all over")
    expect(keys.page.get_by_text("Taken over: 6 new")).to_be_visible()


def plan_session(keys: Keys) -> None:
    now = datetime.now(ZoneInfo("Europe/London"))
    keys.follow("Sessions")
    keys.follow("New session")
    keys.dial("Date", f"{now:%m%d%Y}")
    keys.dial("Starts at", f"{now:%I%M%p}")
    keys.follow("Make this session")


def take_register(keys: Keys) -> None:
    keys.follow("Take the register")
    keys.page.wait_for_selector("html[data-rows-ready]", state="attached")
    for name in CHILDREN:
        keys.press(name)
        undo = keys.page.get_by_role("button", name=f"Undo {name}")
        expect(undo).to_be_visible()
        assert keys.page.evaluate("() => document.activeElement !== document.body"), "the row took the focus with it"
    # What the club answers takes the place of a row: only then does the page stand still.
    expect(keys.page.get_by_text("not sent yet")).to_have_count(0)
    assert keys.round()[-1]["name"] == "Sign out"
    keys.follow("Finish register")


def make_groups(keys: Keys) -> None:
    """With other settings than those offered."""
    keys.press("Change the settings")
    keys.write("Groups", "2")
    keys.follow("Make groups")
    expect(keys.page.locator(".judged, .groups").first).to_be_visible()
    keys.round()
    keys.follow("Open the bell")


def run_bell(keys: Keys) -> None:
    page = keys.page
    expect(page.locator("html")).to_have_attribute("data-bell-ready", "yes")
    press(keys, "Start")
    expect_phase("running", page)
    assert any(stop["bar"] for stop in keys.round()), "the bar at the thumb is out of reach"
    press(keys, "Pause")
    expect_phase("paused", page)
    press(keys, "Go on")
    expect_phase("running", page)
    part = page.locator("[data-face-word]").inner_text()
    press(keys, "Skip")
    expect(page.locator("[data-face-word]")).not_to_have_text(part)
    open_again(keys)
    keys.hold("STOP", HOLD_S)
    expect_phase("stopped", page)
    keys.round()
    press(keys, "Go on")
    expect_phase("running", page)
    press(keys, "End the session")
    expect_phase("ended", page)
    keys.follow("Going home")


def press(keys: Keys, name: str) -> None:
    open_again(keys)
    keys.press(name)


def open_again(keys: Keys) -> None:
    """Ten seconds after the last touch the buttons lock; holding the key opens them, as holding a finger does."""
    opener = keys.page.get_by_role("button", name="Hold to open")
    if opener.is_visible():
        keys.hold("Hold to open", HOLD_S)
        expect(opener).to_be_hidden()


def test_a_focus_that_is_not_seen_would_be_found(browser: Browser) -> None:
    page: Page = browser.new_page()
    page.set_content(
        "<style>:focus { outline: none } .bar { position: fixed; inset: 0; background: tan }</style>"
        "<button tabindex=2>second</button><button tabindex=1>first</button><div class=bar></div>"
    )
    keys = Keys(page)
    keys.tab()
    keys.tab()
    page.close()
    for what in ("first” is not shown", "second” is not follows", "first” is not open"):
        assert any(what in one for one in keys.wrong), (what, keys.wrong)
