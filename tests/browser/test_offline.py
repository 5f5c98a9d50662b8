"""The register and today's pages without a network: written down on the phone, sent once, gone in time."""

from __future__ import annotations

import re

from playwright.sync_api import Browser, expect

from tests.browser.chromium import comes_true
from tests.browser.evening import tap
from tests.browser.fill import Stage
from tests.browser.phones import COPY, NAMES, PAGES, WRITES, Phone, kinds, unmarked, waiting, write_new_child
from tests.browser.servers import Served
from tests.cast import PASSWORD


def test_five_marks_and_a_new_child_without_a_network_reach_the_club_once(
    browser: Browser, served: Served, stage: Stage
) -> None:
    finn, hazel = Phone(browser, served, stage, "finn"), Phone(browser, served, stage, "hazel")
    hazel.clear()
    page = finn.open("register")
    assert {*NAMES} <= {*unmarked(page)}
    finn.cut()
    for name in NAMES[:5]:
        finn.mark(name)
    write_new_child(page, "Kit")
    waiting(page, 6)
    page.reload()
    finn.ready()
    waiting(page, 6)
    assert NAMES[5] in unmarked(page)
    assert not {*NAMES[:5]} & {*unmarked(page)}
    expect(page.locator("#children").get_by_text("Kit")).to_be_visible()
    finn.mend()
    page.evaluate("dispatchEvent(new Event('online'))")
    waiting(page, 0)
    page.reload()
    finn.ready()
    wanted = dict.fromkeys((*NAMES[:5], "Kit"), "here") | {NAMES[5]: "cleared"}
    assert {name: kinds(page)[name] for name in wanted} == wanted
    assert page.locator("#children b", has_text=re.compile("^Kit$")).count() == 1
    hazel.page.reload()
    assert kinds(hazel.page) == kinds(page)
    finn.watch.nothing()


def test_what_was_brought_is_answered_without_a_network_and_asked_no_more(
    browser: Browser, served: Served, stage: Stage
) -> None:
    hazel, finn = Phone(browser, served, stage, "hazel"), Phone(browser, served, stage, "finn")
    hazel.page.goto(f"/people/athletes/{stage.ids['athlete_id']}/health/")
    hazel.page.get_by_role("checkbox", name=re.compile("brings an inhaler", re.I)).check()
    tap(hazel.page, "Save")
    page = finn.clear()
    finn.here("Ada Reed")
    page.reload()
    finn.ready()
    asked = page.locator(f"{finn.row('Ada Reed')} .brought")
    expect(asked).to_contain_text("Inhaler or pen brought today?")
    comes_true(page, COPY)
    finn.cut()
    asked.get_by_role("button", name="It is here").tap()
    expect(asked).to_contain_text("Inhaler or pen is here.")
    waiting(page, 1)
    page.reload()
    finn.ready()
    expect(asked).to_contain_text("Inhaler or pen is here.")
    finn.sends()
    waiting(page, 0)
    page.reload()
    finn.ready()
    expect(asked).to_contain_text("Inhaler or pen is here.")
    expect(asked.get_by_role("button", name="It is here")).to_have_count(0)


def test_the_rest_who_are_not_here_and_an_adult_by_name_wait_for_the_network_too(
    browser: Browser, served: Served, stage: Stage
) -> None:
    finn, hazel = Phone(browser, served, stage, "finn"), Phone(browser, served, stage, "hazel")
    hazel.clear()
    page = finn.open("register")
    finn.mark(NAMES[0])
    waiting(page, 0)
    others = unmarked(page)
    assert {*NAMES[1:]} <= {*others}
    finn.cut()
    page.get_by_label("Another adult's name").fill("Moss Ferrier")
    page.get_by_label("18 or over").check()
    page.get_by_role("button", name="Add this adult").tap()
    expect(page.locator("#adult-rows")).to_contain_text("Moss Ferrier")
    page.get_by_role("button", name="The rest are not here").tap()
    waiting(page, len(others) + 1)
    assert unmarked(page) == []
    page.reload()
    finn.ready()
    page.get_by_role("button", name="Undo “the rest are not here”").tap()
    waiting(page, 2 * len(others) + 1)
    assert unmarked(page) == others
    page.get_by_role("button", name="The rest are not here").tap()
    waiting(page, 3 * len(others) + 1)
    expect(page.locator("#adult-rows")).to_contain_text("Moss Ferrier")
    hazel.page.reload()
    hazel.mark(NAMES[1])  # came while that phone had no network
    finn.mend()
    page.evaluate("dispatchEvent(new Event('online'))")
    waiting(page, 0)
    page.reload()
    finn.ready()
    assert kinds(page)[NAMES[0]] == "here"
    assert {kinds(page)[name] for name in others if name != NAMES[1]} == {"absent"}
    expect(page.locator("#adult-rows .adult", has_text="Moss Ferrier")).to_contain_text("here, 18 or over")
    assert page.locator("#adult-rows .adult", has_text="Moss Ferrier").count() == 1
    hazel.clear()
    finn.watch.nothing()


def test_what_another_adult_tapped_here_is_not_sent_and_goes_when_that_adult_is_back(
    browser: Browser, served: Served, stage: Stage
) -> None:
    phone = Phone(browser, served, stage, "finn")
    page = phone.clear()
    phone.cut()
    phone.mark("Fay Reed")
    waiting(page, 1)
    phone.context.add_cookies(stage.cookies("hazel", served.home))
    phone.mend()
    page.goto(phone.path("register"))
    phone.ready()
    waiting(page, 0)
    assert kinds(page)["Fay Reed"] == "cleared"
    page.evaluate("dispatchEvent(new Event('online'))")
    phone.context.add_cookies(stage.cookies("finn", served.home))
    page.goto(phone.path("register"))
    phone.ready()
    waiting(page, 0)
    page.reload()
    assert kinds(page)["Fay Reed"] == "here"


def test_the_server_takes_nothing_that_names_another_owner(browser: Browser, served: Served, stage: Stage) -> None:
    """Also when a page believes to be somebody it is not any more."""
    phone = Phone(browser, served, stage, "finn")
    page = phone.clear()
    phone.context.add_cookies(stage.cookies("hazel", served.home))
    phone.mark("Fay Reed")
    expect(page.locator("#outbox")).to_contain_text("sign in to send")
    phone.context.add_cookies(stage.cookies("finn", served.home))
    page.reload()
    phone.ready()
    waiting(page, 0)
    assert kinds(page)["Fay Reed"] == "here"


def test_a_session_that_is_over_shows_no_name_even_without_a_network(
    browser: Browser, served: Served, stage: Stage
) -> None:
    phone = Phone(browser, served, stage, "finn")
    phone.page.clock.install()
    page = phone.open("register")
    expect(page.get_by_text("Ada Reed")).to_be_visible()
    phone.cut()
    page.clock.fast_forward("02:05:00")
    expect(page.get_by_text("This session is over")).to_be_visible()
    assert "Reed" not in page.inner_text("body")
    assert page.evaluate(PAGES) == []
    page.goto(phone.path("register"))
    phone.page.wait_for_load_state()
    assert "Reed" not in page.inner_text("body")


def test_the_leaders_phone_goes_on_showing_who_was_not_collected(
    browser: Browser, served: Served, stage: Stage
) -> None:
    phone = Phone(browser, served, stage, "hazel")
    page = phone.clear()
    page.context.clock.install()
    phone.open("register")
    phone.mark("Ada Reed")
    waiting(page, 0)
    phone.cut()
    page.clock.fast_forward("02:05:00")
    expect(page.get_by_text("Not collected yet, as far as this phone knows")).to_be_visible()
    expect(page.locator(phone.row("Ada Reed"))).to_be_visible()
    assert "Bo Reed" not in page.inner_text("body")
    page.reload()
    phone.ready()
    expect(page.locator(phone.row("Ada Reed"))).to_be_visible()
    assert "Bo Reed" not in page.inner_text("body")
    assert page.evaluate(PAGES) == [phone.path("register")]
    page.clock.fast_forward("23:59:00")
    expect(page.get_by_text("This session is over")).to_be_visible()
    assert "Reed" not in page.inner_text("body")


def test_a_copy_found_after_the_end_is_not_shown(browser: Browser, served: Served, stage: Stage) -> None:
    """The phone slept: no page was open that could have taken the copy away."""
    phone = Phone(browser, served, stage, "finn")
    page = phone.open("register")
    page.goto("/phone/")
    phone.cut()
    page.goto(phone.path("register"))
    expect(page.get_by_text("Ada Reed")).to_be_visible()
    page.goto("/offline/")
    worker = phone.context.service_workers[0]
    worker.evaluate("() => { const now = Date.now; Date.now = () => now() + 2 * 3600_000 + 60_000; }")
    page.goto(phone.path("register"))
    expect(page.get_by_role("heading", name="No network")).to_be_visible()
    assert page.evaluate(PAGES) == []


def test_signing_out_warns_of_what_was_not_sent_and_leaves_nothing(
    browser: Browser, served: Served, stage: Stage
) -> None:
    phone = Phone(browser, served, stage, "nobody")  # signs in anew: signing out ends only this sign-in
    phone.page.goto("/people/sign-in/")
    phone.page.get_by_label("E-mail").fill("finn@alder.example")
    phone.page.get_by_label("Password").fill(PASSWORD)
    tap(phone.page, "Sign in")
    expect(phone.page.get_by_role("button", name="Sign out")).to_be_visible()
    page = phone.clear()
    page.route("**/mark/", lambda route: route.abort())
    with phone.watch.asleep():
        phone.mark("Fay Reed")
        tap(page, "Sign out")
        expect(page.get_by_text("1 of your taps has not reached the club")).to_be_visible()
        assert page.evaluate(PAGES) != []
        tap(page, "Sign out and lose it")
        expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    assert page.evaluate(PAGES) == []
    assert page.evaluate(WRITES) == 0


def test_lost_rights_take_the_copy_away(browser: Browser, served: Served, stage: Stage) -> None:
    phone = Phone(browser, served, stage, "helper")
    page = phone.open("station")
    coach = Phone(browser, served, stage, "hazel")
    coach.page.goto(f"{phone.path('bell')}pass/")
    with phone.watch.asleep():
        tap(coach.page, "Close the gate")
        expect(page.locator("html")).to_have_attribute("data-gone", re.compile("400[13]"))
        comes_true(page, f"() => {PAGES}.then(all => all.length === 0)")


def test_numbers_to_ring_are_kept_only_when_asked(browser: Browser, served: Served, stage: Stage) -> None:
    phone = Phone(browser, served, stage, "hazel")
    page = phone.clear()
    phone.mark("Ada Reed")
    waiting(page, 0)
    phone.open("emergency")
    expect(page.locator("#asked")).to_have_attribute("data-kept", "no")
    phone.cut()
    page.reload()
    expect(page.get_by_role("heading", name="No network")).to_be_visible()
    phone.mend()
    phone.open("emergency")
    tap(page, "Keep it on this phone")
    expect(page.locator("#asked")).to_have_attribute("data-kept", "yes")
    phone.cut()
    page.reload()
    expect(page.get_by_text("blue inhaler")).to_be_visible()
    tap(page, "Take it off this phone")
    expect(page.locator("#asked")).to_have_attribute("data-kept", "no")
    assert phone.path("emergency") not in page.evaluate(PAGES)


def test_pages_off_the_list_are_never_kept(browser: Browser, served: Served, stage: Stage) -> None:
    phone = Phone(browser, served, stage, "hazel")
    for name in ("register", "plan", "bell", "station"):
        phone.open(name)
    for path in ("/", "/people/athletes/", f"/sessions/{stage.ids['session_id']}/", f"{phone.path('register')}?q=ada"):
        phone.page.goto(path)
    kept = [phone.path(name) for name in ("register", "plan", "bell", "station")]
    tools = [f"{phone.path('bell')}{tool}/" for tool in ("caller", "stopwatch")]  # of the page of the bell, with it
    home = f"{phone.path('register')}home/"  # with the register, for who sees children off without a network
    assert {*kept} <= {*phone.page.evaluate(PAGES)} <= {*kept, *tools, home}
    phone.cut()
    phone.page.goto("/people/athletes/")
    expect(phone.page.get_by_role("heading", name="No network")).to_be_visible()
    for title in ("Register", "The bell", "Station 1"):
        expect(phone.page.get_by_role("link", name=title)).to_be_visible()


BARE = """
Object.defineProperty(window, "isSecureContext", { get: () => false });
const withheld = [[Navigator.prototype, "serviceWorker"], [Navigator.prototype, "locks"], [window, "caches"]];
for (const [home, name] of withheld) {
    Object.defineProperty(home, name, { get: () => undefined });
}
Crypto.prototype.randomUUID = undefined;
"""


def test_on_plain_http_taps_wait_in_the_open_page(browser: Browser, served: Served, stage: Stage) -> None:
    """What a browser withholds there is withheld here: no worker, no locks, no caches, no maker of ids."""
    Phone(browser, served, stage, "hazel").clear()
    phone = Phone(browser, served, stage, "finn")
    phone.context.add_init_script(BARE)
    page = phone.page
    page.goto(phone.path("register"))
    phone.ready()
    phone.cut()
    phone.mark("Fay Reed")
    write_new_child(page, "Pim")
    waiting(page, 2)
    phone.mend()
    page.evaluate("dispatchEvent(new Event('online'))")
    waiting(page, 0)
    with page.expect_response(lambda answer: "/news/" in answer.url and answer.status == 200) as heard:
        page.evaluate("document.body.dispatchEvent(new Event('fieldbell:hint'))")
    assert "The list has changed" not in heard.value.text()  # by this phone's own new child
    page.reload()
    assert {name: kinds(page)[name] for name in ("Fay Reed", "Pim")} == {"Fay Reed": "here", "Pim": "here"}


def test_what_the_club_refuses_is_said_on_its_row_and_can_be_corrected(
    browser: Browser, served: Served, stage: Stage
) -> None:
    """A child of a name and year that stand on the list already."""
    phone = Phone(browser, served, stage, "finn")
    page = phone.open("register")
    phone.cut()
    write_new_child(page, "Fay")
    phone.mend()
    page.evaluate("dispatchEvent(new Event('online'))")
    row = page.locator("#children .row", has_text="new child")
    expect(row.get_by_role("alert")).to_contain_text("on the list already")
    expect(page.locator("#outbox")).to_contain_text("1 was not taken")
    row.get_by_role("button", name="Correct it").tap()
    sheet = page.locator("dialog#new-child")
    assert sheet.get_by_label("First name").input_value() == "Fay"
    sheet.get_by_label("It is another child of the same name").check()
    sheet.get_by_role("button", name="Add and mark here").tap()
    expect(page.locator("#outbox")).to_be_hidden()
    assert len([name for name in kinds(page) if name.startswith("Fay")]) == 2


def test_a_new_version_waits_for_a_tap_and_never_shows_over_a_running_bell(
    browser: Browser, served: Served, stage: Stage
) -> None:
    """Another address of the worker is another version to the browser."""
    phone = Phone(browser, served, stage, "finn")
    page = phone.open("register")
    old = page.evaluate("navigator.serviceWorker.controller.scriptURL")
    page.evaluate("navigator.serviceWorker.register('/sw.js?next')")
    offer = page.locator("#release")
    expect(offer).to_contain_text("A new version of Fieldbell is ready.")
    assert page.evaluate("navigator.serviceWorker.controller.scriptURL") == old
    bell = phone.watch.add(phone.context.new_page())
    bell.goto(phone.path("bell"))
    expect(bell.locator("[data-bell]")).to_have_attribute("data-phase", "running")
    expect(bell.locator("#release button")).to_have_count(1)
    expect(bell.locator("#release")).to_be_hidden()
    page.evaluate("window.before = true")
    tap(page, "Use it now")
    page.wait_for_function("() => window.before === undefined")
    phone.ready()
    assert page.evaluate("navigator.serviceWorker.getRegistration().then(one => one.active.state)") == "activated"
    assert bell.evaluate("document.documentElement.dataset.bellReady") == "yes"
