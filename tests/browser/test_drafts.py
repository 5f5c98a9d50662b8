"""A sign-in that runs out in the middle of something: nothing that was typed is lost, and old tabs go on working."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.chromium import Watch, phone, put_away
from tests.browser.evening import tap
from tests.browser.fill import Stage
from tests.browser.servers import Served
from tests.cast import PASSWORD


@pytest.fixture
def hazel(browser: Browser, served: Served, stage: Stage) -> Iterator[Page]:
    watch = Watch(served.home)
    context, page = phone(browser, watch)
    page.goto("/people/sign-in/")
    sign_in(page, "hazel")
    yield page
    put_away(context)
    watch.nothing()


def sign_in(page: Page, name: str) -> None:
    page.get_by_role("heading", name="Sign in").wait_for()
    page.get_by_label("E-mail").fill(f"{name}@alder.example")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").tap()
    page.wait_for_url(lambda url: "sign-in" not in url)
    page.wait_for_selector("html[data-ready]", state="attached")


def run_out(page: Page) -> None:
    """As after a month, or after the session was ended elsewhere."""
    page.context.clear_cookies(name="fieldbell")


def new_child(stage: Stage) -> str:
    return f"/register/{stage.ids['session_id']}/new-child/"


def write(page: Page, name: str) -> None:
    page.get_by_label("First name").fill(name)
    page.get_by_label("Year of birth").fill("2016")
    page.get_by_label("An adult's phone").fill("07700 900123")
    page.get_by_label("Who may collect").fill("Rob Weir")
    page.get_by_label("Yes", exact=True).check()
    page.get_by_label("If yes").fill("Blue inhaler.")


def test_a_typed_form_is_there_again_after_signing_in(hazel: Page, stage: Stage) -> None:
    hazel.goto(new_child(stage))
    write(hazel, "Kit")
    run_out(hazel)
    tap(hazel, "Add, not marked")
    sign_in(hazel, "hazel")
    assert hazel.url.endswith(new_child(stage))
    expect(hazel.get_by_text("What you typed is still here")).to_be_visible()
    assert hazel.get_by_label("First name").input_value() == "Kit"
    assert hazel.get_by_label("If yes").input_value() == "Blue inhaler."
    assert hazel.get_by_label("Yes", exact=True).is_checked()
    tap(hazel, "Add, not marked")
    expect(hazel.get_by_text("Kit is on the list, not marked.")).to_be_visible()
    hazel.goto(new_child(stage))
    assert hazel.get_by_label("First name").input_value() == ""


def test_what_one_adult_typed_is_not_shown_to_another(hazel: Page, stage: Stage) -> None:
    hazel.goto(new_child(stage))
    write(hazel, "Pim")
    run_out(hazel)
    tap(hazel, "Add, not marked")
    sign_in(hazel, "finn")
    assert hazel.get_by_label("First name").input_value() == ""


def test_a_form_whose_address_answers_no_get_leads_back_to_its_page(hazel: Page, stage: Stage) -> None:
    register = f"/register/{stage.ids['session_id']}/"
    hazel.goto(register)
    hazel.get_by_label("Another adult's name").fill("Rob Weir")
    run_out(hazel)
    hazel.evaluate("document.querySelector('#adults > form').removeAttribute('data-outbox')")  # as without a queue
    tap(hazel, "Add this adult")
    sign_in(hazel, "hazel")
    assert hazel.url.split("#")[0].endswith(register)
    assert hazel.get_by_label("Another adult's name").input_value() == "Rob Weir"


def test_an_old_tab_works_after_signing_in_again_elsewhere(hazel: Page, stage: Stage) -> None:
    hazel.goto(f"/register/{stage.ids['session_id']}/")
    hazel.get_by_label("Another adult's name").fill("Rob Weir")
    other = hazel.context.new_page()
    run_out(hazel)
    other.goto("/people/sign-in/")
    sign_in(other, "hazel")
    other.close()
    tap(hazel, "Add this adult")
    expect(hazel.locator("#adults").get_by_text("Rob Weir")).to_be_visible()
