"""A new coach goes from an aim to a running bell; and stations are moved on the field plan by drag and by tap."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser import evening as screens
from tests.browser.chromium import Watch, phone, put_away
from tests.browser.evening import tap
from tests.browser.fill import Stage
from tests.browser.servers import Served

FILL = "tests.browser.fill_plan"
CHILDREN = ("Ada", "Bo", "Cleo", "Dev", "Eli", "Fay")


@pytest.fixture
def coach(browser: Browser, served: Served, stage: Stage) -> Iterator[Page]:
    watch = Watch(served.home)
    context, page = phone(browser, watch)
    context.add_cookies(stage.cookies("hazel", served.home))
    yield page
    put_away(context)
    watch.nothing()


def test_a_new_coach_plans_sets_out_prints_and_runs_a_session_in_one_go(coach: Page) -> None:
    # What has begun is not suggested anew.
    screens.plan_session(coach, datetime.now(ZoneInfo("Europe/London")) + timedelta(minutes=3))
    tap(coach, "Suggest a session")
    coach.get_by_label("Stations").fill("2")
    coach.locator("button[name=go][value=new]").tap()
    expect(coach.get_by_text("No other choice of these activities fits your wishes better.")).to_be_visible()
    names = [row.inner_text() for row in coach.locator(".menu-parts li:has(.square) a").all()]
    assert len(set(names)) == 2
    tap(coach, "Another instead of " + names[0])
    expect(coach.get_by_role("link", name=names[0], exact=True)).to_have_count(0)
    names[0] = coach.locator(".menu-parts li:has(.square) a").first.inner_text()
    tap(coach, "Take it into the session")
    for name in names:
        expect(coach.locator("#stations").get_by_role("link", name=name, exact=True)).to_be_visible()
    address = coach.url
    tap(coach, "Field plan")
    tap(coach, "Place them")
    expect(coach.get_by_text("Run-outs are clear")).to_be_visible()
    assert coach.locator(".field-station").count() == 2
    run(coach, address)


def run(coach: Page, address: str) -> None:
    """From the register to the bell."""
    coach.goto(address)
    tap(coach, "Take the register")
    for name in CHILDREN:
        coach.get_by_role("button", name=re.compile(f"^{name} .*mark here")).tap()
    expect(coach.get_by_role("button", name=re.compile("^Undo "))).to_have_count(len(CHILDREN))
    tap(coach, "Finish register")
    screens.make_groups(coach)
    take_on_paper(coach)
    screens.open_bell(coach)
    tap(coach, "Start")
    screens.expect_phase("running", coach)


def take_on_paper(coach: Page) -> None:
    """Both sides of the session sheet as this browser prints them, from the page of the groups and back."""
    tap(coach, "On paper")
    tap(coach, "Session sheet")
    expect(coach.get_by_role("heading", name="Session sheet")).to_be_visible()
    assert len(re.findall(rb"/Type\s*/Page\b", coach.pdf(prefer_css_page_size=True))) == 2
    tap(coach, "All sheets")
    tap(coach, "Groups and rotation")


# --- the field plan --------------------------------------------------------------------------------------------------


def station(page: Page, number: int) -> Locator:
    return page.locator(".field-station").nth(number - 1)


def middle(one: Locator) -> tuple[float, float]:
    """Of its footprint, on the screen."""
    box = one.locator(".field-foot").bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def at(page: Page, number: int) -> list[float]:
    told = station(page, number).get_attribute("data-at")
    assert told is not None
    return [float(part) for part in told.split(",")]


def test_a_station_is_moved_by_drag_and_by_tap_and_what_is_wrong_stands_there_at_once(
    coach: Page, stage: Stage
) -> None:
    coach.goto(f"/sessions/{stage.ids['session_id']}/field/")
    troubles = coach.get_by_role("alert")
    expect(coach.get_by_text("Run-outs are clear")).to_be_visible()
    first, second = at(coach, 1), at(coach, 2)
    station(coach, 1).scroll_into_view_if_needed()
    coach.mouse.move(*middle(station(coach, 1)))
    coach.mouse.down()
    coach.mouse.move(*middle(station(coach, 2)), steps=4)
    coach.mouse.up()
    expect(troubles).to_contain_text("Stations 1 and 2 overlap, or leave no metre between them.")
    expect(coach.locator(".field-station.wrong")).to_have_count(2)
    assert at(coach, 1) == pytest.approx(second, abs=1)
    assert at(coach, 2) == second
    # Tapped it is chosen, and does not move; tapped again elsewhere it stands there.
    coach.touchscreen.tap(*middle(station(coach, 3)))
    expect(station(coach, 3)).to_have_class(re.compile("chosen"))
    third = at(coach, 3)
    coach.get_by_label(re.compile("^1 ")).check(force=True)
    x, y = middle(station(coach, 2))
    left, _top = middle(station(coach, 3))
    metre = (left - x) / (third[0] - second[0])
    coach.touchscreen.tap(x - (second[0] - first[0]) * metre, y)
    expect(coach.get_by_text("Run-outs are clear")).to_be_visible()
    expect(troubles).to_have_count(0)
    assert at(coach, 1) == pytest.approx(first, abs=1)
    assert at(coach, 3) == third
