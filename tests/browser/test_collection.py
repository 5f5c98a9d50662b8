"""Seeing children off where there is no network: who takes each is said at once and reaches the club once."""

from __future__ import annotations

from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.chromium import overflow
from tests.browser.fill import Stage
from tests.browser.phones import NAMES, Phone, kinds, waiting
from tests.browser.servers import Served

ADA, BO, CLEO, DEV, EASY = NAMES[:5]


def row(page: Page, name: str) -> Locator:
    return page.locator("#children > .row").filter(has=page.locator(f'b:text-is("{name}")'))


def opened(page: Page, name: str) -> Locator:
    found = row(page, name)
    found.locator("summary").tap()
    return found


def still_here(page: Page) -> tuple[str, str]:
    here, gone = page.locator("#still dd").all_inner_texts()
    return here, gone


def test_children_are_seen_off_without_a_network(browser: Browser, served: Served, stage: Stage) -> None:
    phone = Phone(browser, served, stage, "hazel")
    page = phone.open("home")
    assert still_here(page) == ("5", "0")
    phone.cut()
    opened(page, ADA).get_by_role("button", name="with Greta").tap()
    assert kinds(page)[ADA] == "left"
    expect(row(page, ADA).locator("summary")).to_be_hidden()
    bo = opened(page, BO)
    decide = bo.get_by_role("button", name="Goes, by my decision")
    decide.tap()
    expect(bo.get_by_role("alert")).to_contain_text("Write with whom the child goes")
    bo.get_by_label("With whom").fill("Aunt Pam")
    decide.tap()
    expect(bo.get_by_role("alert")).to_contain_text("Write down the reason.")
    assert kinds(page)[BO] == "here"
    bo.get_by_label("Why").fill("Greta rang")
    decide.tap()
    opened(page, CLEO).get_by_role("button", name="with Gus").tap()
    row(page, CLEO).get_by_role("button", name="Not gone: still here").tap()
    assert [kinds(page)[name] for name in (ADA, BO, CLEO, DEV)] == ["left", "left", "here", "here"]
    waiting(page, 4)
    assert still_here(page) == ("3", "2")
    page.reload()  # from the phone itself
    phone.ready()
    waiting(page, 4)
    assert still_here(page) == ("3", "2")
    assert overflow(page) == 0
    phone.sends()
    waiting(page, 0)
    page.reload()
    phone.ready()
    assert still_here(page) == ("3", "2")
    assert "Greta" in row(page, ADA).inner_text()
    assert "Aunt Pam" in row(page, BO).inner_text()
    assert kinds(page)[CLEO] == "here"
    phone.watch.nothing()
