"""One queue a phone: whatever is tapped on the field or at home is written down first, and sent once."""

from __future__ import annotations

import re
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Browser, Response, expect

from tests.browser.chromium import comes_true
from tests.browser.fill import Stage
from tests.browser.phones import NAMES, PAGES, WRITES, Phone, kinds, waiting
from tests.browser.servers import Served

FAMILY = PAGES.replace("fieldbell-pages", "fieldbell-family")


def sent_from(*phones: Phone) -> list[str]:
    """The ids of the writes the club answered, in their order, from all pages of these phones."""
    ids: list[str] = []

    def hear(answer: Response) -> None:
        if answer.request.method == "POST" and answer.ok:
            ids.extend(parse_qs(answer.request.post_data or "").get("op_id", []))

    for phone in phones:
        phone.context.on("response", hear)
    return ids


def test_two_tabs_of_one_phone_share_one_queue_and_send_each_tap_once(
    browser: Browser, served: Served, stage: Stage
) -> None:
    Phone(browser, served, stage, "hazel").clear()
    phone = Phone(browser, served, stage, "finn")
    one = phone.open("register")
    two = phone.watch.add(phone.context.new_page())
    two.goto(phone.path("register"))
    two.wait_for_selector("html[data-rows-ready]", state="attached")
    phone.cut()
    phone.mark(NAMES[0], one)
    phone.mark(NAMES[1], two)
    phone.mark(NAMES[2], one)
    for page in (one, two):
        waiting(page, 3)
    ids = sent_from(phone)
    phone.mend()
    for page in (one, two, one, two):
        page.evaluate("dispatchEvent(new Event('online'))")
    for page in (one, two):
        waiting(page, 0)
        assert [kinds(page)[name] for name in NAMES[:3]] == ["here"] * 3
    assert len(ids) == 3
    assert len(set(ids)) == 3
    phone.watch.nothing()


def test_two_phones_on_one_child_and_the_row_says_so(browser: Browser, served: Served, stage: Stage) -> None:
    """The earlier tap comes in last: the later one stands, and whoever tapped first reads whose it is."""
    finn, hazel = Phone(browser, served, stage, "finn"), Phone(browser, served, stage, "hazel")
    hazel.clear()
    page = finn.open("register")
    finn.cut()
    finn.mark("Bo Reed")
    waiting(page, 1)
    hazel.page.reload()
    hazel.ready()
    row = hazel.page.locator(hazel.row("Bo Reed"))
    row.get_by_role("link", name="Other mark for Bo Reed").tap()
    row.get_by_role("button", name="Not here").tap()
    waiting(hazel.page, 0)
    finn.sends()
    waiting(page, 0)
    expect(page.locator(finn.row("Bo Reed"))).to_contain_text("changed just now by Hazel")
    assert kinds(page)["Bo Reed"] == "absent"


def test_the_end_of_the_register_waits_behind_its_marks(browser: Browser, served: Served, stage: Stage) -> None:
    phone = Phone(browser, served, stage, "hazel")
    page = phone.clear()
    phone.cut()
    phone.mark("Ada Reed")
    finish, groups = page.get_by_role("button", name="Finish register"), page.get_by_role("link", name="To the groups")
    expect(groups).to_be_hidden()
    finish.tap()
    waiting(page, 2)
    for _look in range(2):
        expect(groups).to_be_visible()
        expect(finish).to_be_hidden()
        page.reload()
        phone.ready()
    ids = sent_from(phone)
    phone.sends()
    waiting(page, 0)
    assert len(ids) == 2
    assert urlsplit(page.url).path == phone.path("register")  # tapped long ago, on a page that is gone
    groups.tap()
    expect(page.get_by_text(re.compile(r"\d children are not marked\."))).to_be_visible()
    page.goto(phone.path("register"))
    expect(finish).to_have_count(0)


# --- a guardian -------------------------------------------------------------------------------------------------------


def test_a_guardian_s_page_is_kept_only_when_asked_and_a_notice_waits_on_it(
    browser: Browser, served: Served, stage: Stage
) -> None:
    phone = Phone(browser, served, stage, "greta")
    page = phone.page
    page.goto("/family/")
    phone.ready()
    switch = page.get_by_role("switch", name="Keep this page on this phone")
    expect(switch).not_to_be_checked()
    comes_true(page, "() => navigator.serviceWorker.controller !== null")
    phone.cut()
    page.reload()
    expect(page.get_by_role("heading", name="No network")).to_be_visible()
    phone.mend()
    page.goto("/family/")
    switch.tap()
    expect(page.locator("#asked")).to_have_attribute("data-kept", "yes")
    expect(page.get_by_text("On: it opens without a network")).to_be_visible()
    phone.cut()
    page.reload()
    phone.ready()
    expect(switch).to_be_checked()
    tell_cannot_come(phone)
    waiting_notice = page.locator("[data-outbox-note=waiting]")
    expect(waiting_notice).to_contain_text("kept on this phone, not sent yet")
    page.reload()
    phone.ready()
    expect(waiting_notice).to_have_count(1)
    ids = sent_from(phone)
    phone.sends()
    expect(page.locator("[data-outbox-note=taken]")).to_contain_text("The coaches know that Ada cannot come")
    assert len(ids) == 1
    page.goto("/family/")
    expect(page.get_by_text("you told us: cannot come – a cold")).to_have_count(1)
    switch.tap()
    expect(page.locator("#asked")).to_have_attribute("data-kept", "no")
    assert page.evaluate(FAMILY) == []
    phone.watch.nothing()


def tell_cannot_come(phone: Phone) -> None:
    page = phone.page
    page.get_by_text(re.compile("^Ada cannot come on")).first.tap()
    page.get_by_label("A word, if you like").first.fill("a cold")
    page.get_by_role("button", name="Tell the coaches").first.tap()


def test_a_switch_that_needs_a_network_says_so(browser: Browser, served: Served, stage: Stage) -> None:
    phone = Phone(browser, served, stage, "greta")
    page = phone.page
    page.goto("/family/")
    comes_true(page, "() => navigator.serviceWorker.controller !== null")
    switch = page.get_by_role("switch", name="Keep this page on this phone")
    phone.cut()
    switch.tap()
    expect(page.get_by_text("That needs a network.")).to_be_visible()
    expect(switch).not_to_be_checked()
    assert page.evaluate(FAMILY) == []


def test_somebody_else_on_a_guardian_s_phone_finds_nothing_kept(browser: Browser, served: Served, stage: Stage) -> None:
    phone = Phone(browser, served, stage, "greta")
    page = phone.page
    page.goto("/family/")
    comes_true(page, "() => navigator.serviceWorker.controller !== null")
    page.get_by_role("switch", name="Keep this page on this phone").tap()
    expect(page.locator("#asked")).to_have_attribute("data-kept", "yes")
    phone.context.add_cookies(stage.cookies("gus", served.home))
    page.goto("/phone/")
    phone.ready()
    comes_true(page, f"() => {FAMILY}.then(all => all.length === 0)")


# --- a pass that is over ----------------------------------------------------------------------------------------------


def helped(browser: Browser, served: Served, stage: Stage) -> Phone:
    """A helper's phone that called for help where there is no network."""
    phone = Phone(browser, served, stage, "helper")
    phone.page.clock.install()
    page = phone.open("station")
    expect(page.get_by_text("Ada")).not_to_have_count(0)
    phone.cut()
    page.get_by_role("button", name="Help here").tap()
    waiting(page, 1)
    return phone


def test_a_pass_that_ends_without_a_network_says_what_is_lost_and_leaves_nothing(
    browser: Browser, served: Served, stage: Stage
) -> None:
    phone = helped(browser, served, stage)
    page = phone.page
    page.clock.fast_forward("01:20:00")
    waiting(page, 1)
    assert page.evaluate(PAGES) != []
    page.clock.fast_forward("00:15:00")  # half an hour after the planned end the pass is over
    expect(page.get_by_text("1 of your taps did not reach the club, and this pass is over")).to_be_visible()
    assert "Ada" not in page.inner_text("body")
    assert page.evaluate(PAGES) == []
    assert page.evaluate(WRITES) == 0


def test_a_pass_that_ended_while_the_phone_was_put_away_leaves_nothing_either(
    browser: Browser, served: Served, stage: Stage
) -> None:
    """The next page that is opened there, by whomever and with no network, takes it away."""
    phone = helped(browser, served, stage)
    page = phone.page
    page.goto("/offline/")
    assert page.evaluate(WRITES) == 1
    page.clock.fast_forward("01:35:00")
    page.goto("/offline/")
    comes_true(page, f"async () => (await {WRITES}) === 0")


@pytest.mark.parametrize("name", ["plan", "station", "bell"])
def test_an_hour_after_the_end_no_page_of_the_session_shows_a_name(
    browser: Browser, served: Served, stage: Stage, name: str
) -> None:
    phone = Phone(browser, served, stage, "finn")
    phone.page.clock.install()
    phone.here(NAMES[0])
    page = phone.open(name)
    assert "Ada" in page.content()
    phone.cut()
    page.clock.fast_forward("02:05:00")
    expect(page.get_by_text("This session is over")).to_be_visible()
    comes_true(page, "() => !document.documentElement.dataset.face")  # nor the colour of a part that is long over
    assert "Ada" not in page.inner_text("body")
    assert page.evaluate(PAGES) == []
    page.reload()
    expect(page.get_by_role("heading", name="No network")).to_be_visible()
