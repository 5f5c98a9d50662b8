"""Signing out on the field: what it would take away is said with its number, and there is a way back."""

from __future__ import annotations

from playwright.sync_api import Browser, Page, expect

from tests.browser.fill import Stage
from tests.browser.phones import Phone
from tests.browser.servers import Served

FILL = "tests.browser.fill_watch"
TAPES = "Object.keys(localStorage).filter(key => key.startsWith('fieldbell.stopwatch.')).length"


def press(page: Page) -> None:
    """Once it listens again: right after a touch it takes no second one."""
    page.locator("[data-sw-big]:not([data-quiet])").tap()


def test_times_without_a_name_are_not_lost_without_a_word(browser: Browser, served: Served, stage: Stage) -> None:
    phone = Phone(browser, served, stage, "finn elsewhere")
    page = phone.page
    address = f"{phone.path('station')}stopwatch/"
    page.goto(address)
    page.wait_for_selector("html[data-stopwatch-ready][data-queue-ready]", state="attached")
    page.locator("[data-sw-mode=many]").tap()
    for _tap in range(3):  # the start, and two finishers
        press(page)
    page.goto(phone.path("register"))
    phone.ready()
    leave = page.get_by_role("button", name="Sign out", exact=True)
    said = page.locator("#messages")
    leave.tap()
    expect(said).to_contain_text("2 times on the stop-watch have no name yet. A stop-watch is running.")
    assert page.get_by_role("link", name="To the stop-watch").get_attribute("href") == address
    said.get_by_role("button", name="Stay signed in").tap()
    expect(said).to_be_empty()
    assert page.evaluate(TAPES) == 1
    leave.tap()
    said.get_by_role("button", name="Sign out and lose it").tap()
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    assert page.evaluate(TAPES) == 0


# The club answers, but the sign-out does not get through yet.
DEAF = """const ask = window.fetch;
window.fetch = (to, how) => (how?.method !== "POST" || window.lets ? ask(to, how) : Promise.reject(new TypeError()));"""


def test_signed_out_without_a_network_no_page_is_shown_and_the_first_contact_ends_the_sign_in(
    browser: Browser, served: Served, stage: Stage
) -> None:
    phone = Phone(browser, served, stage, "finn away")
    page = phone.open("register")
    tab = phone.watch.add(phone.context.new_page())
    tab.goto(phone.path("bell"))
    expect(tab.locator("main")).to_be_visible()
    phone.context.add_init_script(DEAF)
    phone.cut()
    page.get_by_role("button", name="Sign out", exact=True).tap()
    expect(page.get_by_text("Signed out on this phone.")).to_be_visible()
    expect(tab.locator("main")).to_be_hidden()
    tab.close()
    page.goto(phone.path("register"))
    expect(page.get_by_role("heading", name="No network")).to_be_visible()
    phone.mend()
    page.goto(phone.path("register"))
    expect(page.get_by_text("Signed out on this phone.")).to_be_visible()
    expect(page.locator("#children")).to_be_hidden()
    assert phone.context.request.get(phone.path("register"), max_redirects=0).status == 200
    page.evaluate("window.lets = true; dispatchEvent(new Event('online'))")
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    assert phone.context.request.get(phone.path("register"), max_redirects=0).status == 302
    page.wait_for_selector("html[data-queue-ready]", state="attached")
    assert page.evaluate("localStorage.getItem('fieldbell.parting')") is None
    phone.watch.nothing()
