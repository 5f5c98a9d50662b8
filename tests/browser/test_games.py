"""A session's games on three phones: 24 children, four heats, a final, a relay and freeze."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.chromium import comes_true
from tests.browser.evening import tap
from tests.browser.fill import Stage
from tests.browser.phones import Phone
from tests.browser.servers import Served

FILL = "tests.browser.fill_games"
READY = re.compile("ready to start")
KEPT = """() => caches.match(document.querySelector("a[data-begun]").pathname, {ignoreVary: true})
    .then((copy) => copy && copy.text()).then(Boolean)"""


@pytest.fixture
def phones(browser: Browser, served: Served, stage: Stage) -> list[Phone]:
    return [Phone(browser, served, stage, who) for who in ("hazel", "finn", "helper")]


def test_heats_a_final_a_relay_and_freeze(phones: list[Phone]) -> None:
    coach, assistant, helper = phones
    games = f"/games/{coach.stage.ids['session_id']}/"
    coach.page.goto(games)
    heats(coach.page, assistant)
    coach.page.goto(games)
    relay(coach.page, assistant)
    coach.page.goto(games)
    freeze(coach.page, assistant, helper)
    for one in phones:
        one.watch.nothing()


def make(page: Page, kind: str, **ticks: str) -> str:
    """Two taps from the list of games to ready; with settings one more and the ticks. Answers with its address."""
    page.get_by_role("link", name=re.compile(f"^{kind}")).last.tap()
    if ticks:
        page.get_by_text("Settings", exact=True).tap()
        page.get_by_label(ticks["after"]).check()
    tap(page, "Make it ready")
    expect(page.get_by_text(READY)).to_be_visible()
    return page.url


def all_in(page: Page) -> list[str]:
    """Everybody on the page comes in, from the top; answers with the names in that order."""
    buttons = page.locator("[data-tap]")
    expect(buttons.first).to_be_visible()
    for button in buttons.all():
        button.tap()
    names = [button.locator("span").nth(1).inner_text() for button in buttons.all()]
    page.wait_for_selector("html[data-queue-ready]", state="attached")
    return names


def heats(coach: Page, assistant: Phone) -> None:
    """Each of two phones enters two of the four heats; the next round is a tap."""
    home = make(coach, "Heats", after="one final: by place, then by time")
    expect(coach.locator("section.heat")).to_have_count(4)
    tap(coach, "Start")
    expect(coach.get_by_text("running", exact=True)).to_be_visible()
    winners = set()
    for part, page in enumerate((coach, assistant.page, coach, assistant.page), start=1):
        page.goto(f"{home}enter/{part}/")
        names = all_in(page)
        assert len(names) == 6
        winners.add(names[0])
        tap(page, "Keep it")
        expect(page).to_have_url(home)
    coach.goto(home)
    tap(coach, "Draw the next round")
    expect(coach.get_by_role("heading", name="Final")).to_be_visible()
    final = set(coach.locator("section.heat").first.locator("li").all_inner_texts())
    assert all(any(winner in line for line in final) for winner in winners)
    assistant.page.goto(f"{home}enter/1/")
    all_in(assistant.page)
    tap(assistant.page, "Keep it")
    expect(assistant.page).to_have_url(home)
    expect(assistant.page.get_by_text("entered by Finn")).to_be_visible()
    coach.goto(f"{home}order/")
    expect(coach.get_by_role("heading", name="Final")).to_be_visible()


def relay(coach: Page, assistant: Phone) -> None:
    """Entered without a network; the coach reads the points once it is back."""
    home = make(coach, "Relay")
    teams = coach.locator("section.heat").count()
    tap(coach, "Start")
    expect(coach.get_by_text("running", exact=True)).to_be_visible()
    page = assistant.page
    page.goto(f"{home}enter/1/")
    assert len(all_in(page)) == teams
    assistant.cut()
    tap(page, "Keep it")
    expect(page.locator("[data-queued]")).to_contain_text("Kept on this phone")
    assistant.mend()
    page.evaluate("dispatchEvent(new Event('online'))")
    expect(page).to_have_url(home)
    coach.goto(home)
    expect(coach.get_by_text(f"{teams} points", exact=True)).to_be_visible()


def freeze(coach: Page, assistant: Phone, helper: Phone) -> None:
    """Begun and tapped on a phone without a network, on pages it has from before; the turn stands on the bell."""
    home = make(coach, "Freeze")
    page = assistant.page
    page.goto(home)
    comes_true(page, KEPT)
    assistant.cut()
    tap(page, "Start")
    expect(page.locator("[data-turn-word]").first).to_have_text(re.compile(r"Turn 1 of \d+"))
    page.locator("[data-whom]:visible").first.tap()
    expect(page.locator("[data-tally-note]")).to_contain_text("touched")
    page.reload()
    page.get_by_text("Tapped on this phone: 1").tap()
    expect(page.locator("[data-tally-log] li")).to_contain_text("touched")
    assistant.sends()
    expect(page.locator("html")).to_have_attribute("data-waiting", "0")
    helper.page.goto(helper.path("bell"))
    expect(helper.page.locator("[data-turn-who]").first).to_have_text(re.compile("Chasing: ."))
    coach.goto(home)
    expect(coach.get_by_text("Touches in all: 1")).to_be_visible()
