"""Two phones: the coach fits a late child in while a round runs; an assistant reads the name from the next one on."""

from __future__ import annotations

import re

from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.chromium import Watch, phone
from tests.browser.evening import tap
from tests.browser.fill import Stage
from tests.browser.servers import Served


def test_a_late_child_stands_on_the_assistants_phone_from_the_next_round_on(
    browser: Browser, served: Served, stage: Stage
) -> None:
    watch = Watch(served.home)
    (mine, coach), (theirs, assistant) = phone(browser, watch), phone(browser, watch)
    mine.add_cookies(stage.cookies("hazel", served.home))
    theirs.add_cookies(stage.cookies("finn", served.home))
    fit_in(stage, coach, assistant)
    watch.nothing()


def fit_in(stage: Stage, coach: Page, assistant: Page) -> None:
    bell = f"/bell/{stage.ids['session_id']}/"
    coach.goto(bell)
    go_on_to(coach, "round 2 of 3", "WORK")
    tap(coach, "Fit Eli in")
    offer = coach.locator("#take section").first
    expect(offer).to_contain_text("Eli")
    bib = offer.locator("li", has_text="Eli").locator("svg").last.get_attribute("data-bib")
    assistant.goto(station_of(coach, bell, str(bib)))
    assistant.evaluate("window.notLoadedAgain = true")
    expect(turn(assistant, 3)).not_to_contain_text("Eli")
    tap(coach, "Take this plan")
    expect(coach.get_by_text("The new plan counts from round 3 on. Until then with you: Eli.")).to_be_visible()
    expect(turn(assistant, 3)).to_contain_text("Eli")
    expect(turn(assistant, 2)).not_to_contain_text("Eli")
    expect(turn(assistant, 2)).to_be_visible()
    go_on_to(coach, "round 3 of 3", "WORK")
    expect(turn(assistant, 3).get_by_text("Eli", exact=True)).to_be_visible()
    assert assistant.evaluate("window.notLoadedAgain")


def turn(page: Page, number: int) -> Locator:
    return page.locator(f"[data-turn='{number}']")


def go_on_to(coach: Page, which: str, word: str) -> None:
    """Skip parts until a round is on."""
    face = coach.locator("[data-bell]")
    while not re.search(f"{word}.*{which}", face.inner_text().replace("\n", " ")):
        before = face.get_attribute("data-index") or face.inner_text().split("\n")[0]
        tap(coach, "Skip")
        expect(face.locator("[data-face-word]")).not_to_have_text(before)


def station_of(coach: Page, bell: str, bib: str) -> str:
    """The page of the station at which a group is in the third round."""
    there = coach.context.new_page()
    there.goto(bell)
    stand = there.locator(f"[data-turn='3'] li:has(svg[data-bib='{bib}']) a")
    address = stand.first.get_attribute("href")
    there.close()
    assert address
    return address
