"""Two phones on a field: one counts too few, the other rings; with the network off the first says so."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.chromium import Watch, phone, put_away
from tests.browser.fill import Stage, filled
from tests.browser.servers import Served

HEARS = """window.heard = [];
document.addEventListener("fieldbell:alarm", (event) => window.heard.push(event.detail));"""
RANG = "() => window.heard.some((one) => one.level === 'leader' && one.what === 'missing')"


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return tmp_path / "club"


@pytest.fixture
def stage(data: Path) -> Stage:
    return filled(data, "tests.browser.fill_field")


@pytest.fixture
def served(stage: Stage, data: Path) -> Iterator[Served]:
    with Served(data) as running:
        running.start()
        yield running
    assert running.broken() == []


@pytest.fixture
def watch(served: Served) -> Iterator[Watch]:
    found = Watch(served.home)
    yield found
    found.nothing()


def opened(browser: Browser, watch: Watch, stage: Stage, who: str) -> Page:
    """The leader's board, or the assistant's station, with its script at work."""
    context, page = phone(browser, watch, script=HEARS)
    context.add_cookies(stage.cookies(who, watch.home))
    place = "" if who == "hazel" else f"station/{stage.ids['station_id']}/"
    page.goto(f"/bell/{stage.ids['session_id']}/{place}")
    expect(page.locator("html")).to_have_attribute("data-field-ready", "yes")
    expect(page.locator("[data-bell]")).to_have_attribute("data-part", "work")
    return page


def say_missing(page: Page) -> str:
    """Five of six; the first of the names is missing."""
    page.get_by_role("link", name="Count", exact=True).tap()
    page.get_by_role("button", name="5", exact=True).tap()
    expect(page.get_by_role("heading", name="You counted 5. Who is not here?")).to_be_visible()
    names = page.locator(".ask-answers button")
    assert names.count() == 6
    name = names.first.inner_text()
    names.first.tap()
    page.get_by_role("button", name=re.compile("^Missing")).tap()
    return name


def test_the_leader_s_phone_rings_and_both_show_that_the_child_is_found(
    browser: Browser, watch: Watch, stage: Stage
) -> None:
    coach, assistant = (opened(browser, watch, stage, who) for who in ("hazel", "finn"))
    expect(coach.locator(".alarm")).to_have_count(0)
    name = say_missing(assistant)
    alarm = coach.locator(".alarm[data-level=leader]")
    expect(alarm).to_contain_text(f"{name} is missing")
    coach.wait_for_function(RANG)
    expect(assistant.locator(".apart")).to_contain_text(f"{name} (missing)")
    assert assistant.evaluate("window.heard") == []  # the leader first
    alarm.get_by_role("button", name="I see to it").tap()
    expect(assistant.locator(".alarm")).to_contain_text("Coach is coming: Hazel")
    coach.wait_for_function("() => window.heard.at(-1).level === 'off'")
    expect(coach.locator(".alarm")).to_contain_text(f"{name} is missing")  # heard is not found
    coach.locator(".found summary").tap()
    coach.get_by_role("button", name="with Finn").tap()
    for page in (coach, assistant):
        expect(page.locator(".found-now")).to_contain_text(f"{name} is found: with Finn")
        expect(page.locator(".alarm")).to_have_count(0)
    for page in (coach, assistant):
        put_away(page.context)


def test_with_the_network_off_the_phone_says_so_keeps_it_and_sends_it_with_its_age(
    browser: Browser, watch: Watch, stage: Stage
) -> None:
    coach, assistant = (opened(browser, watch, stage, who) for who in ("hazel", "finn"))
    with watch.asleep():
        assistant.context.set_offline(True)
        name = say_missing(assistant)
        unsent = assistant.locator("[data-alarm-unsent]")
        expect(unsent).to_contain_text("Not sent: shout, or send a runner")
        expect(unsent).to_contain_text(f"{name}: missing")
        expect(unsent.locator("span")).to_have_text(re.compile(r"^([7-9]|\d\d) s$"), timeout=15_000)
        expect(coach.locator(".alarm")).to_have_count(0)
        assistant.get_by_role("link", name="Count", exact=True).tap()
        assistant.get_by_role("button", name="4", exact=True).tap()
        expect(assistant.locator(".ask-answers button")).to_have_count(5)  # who is missing already is not asked for
        assistant.get_by_role("button", name="Count again").tap()
        assistant.get_by_role("button", name="5", exact=True).tap()
        assistant.context.set_offline(False)
        alarm = coach.locator(".alarm", has_text="is missing")
        expect(alarm).to_contain_text(f"{name} is missing", timeout=15_000)
        expect(alarm).to_contain_text(re.compile(r"came here \d+ s late"))
        expect(unsent).to_be_hidden()
    for page in (coach, assistant):
        put_away(page.context)


def test_help_is_answered_and_a_note_is_written_without_a_network(browser: Browser, watch: Watch, stage: Stage) -> None:
    coach, assistant = (opened(browser, watch, stage, who) for who in ("hazel", "finn"))
    assistant.get_by_role("button", name="Help here").tap()
    coach.get_by_role("button", name="I am coming").tap()
    expect(assistant.locator(".alarm")).to_contain_text("Coach is coming: Hazel")
    assistant.get_by_role("button", name="Done").tap()
    expect(assistant.locator(".alarm")).to_have_count(0)
    assistant.get_by_role("button", name="Help here").tap()  # again: another call
    coach.get_by_role("button", name="I am coming").tap()
    with watch.asleep():
        assistant.context.set_offline(True)
        assistant.get_by_role("link", name="Incident note").tap()
        sheet = assistant.locator("[data-note-sheet]")
        sheet.get_by_label("Which child").select_option(index=1)
        sheet.get_by_label("What happened").fill("Bumped heads.")
        sheet.get_by_label("A knock to the head").check()
        sheet.get_by_label("Who stays with the child").fill("Finn")
        sheet.get_by_role("button", name="Keep the note").tap()
        expect(sheet).to_contain_text("Off at once")
        sheet.get_by_role("button", name="Close").last.tap()
        assistant.context.set_offline(False)
        expect(coach.locator(".alarm", has_text="head injury suspected")).to_be_visible(timeout=15_000)
    expect(coach.get_by_role("link", name="Fit the groups")).to_be_visible()
    for page in (coach, assistant):
        put_away(page.context)
