"""Sound on real pages: nothing is claimed before a tap, alarms and STOP are heard; the caller needs no network."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from tests.browser.chromium import Watch, comes_true, phone, put_away
from tests.browser.fill import Stage
from tests.browser.servers import Served

# Every note that is put on the audio clock, in hertz; and a phone without a voice that keeps its screen on for nobody.
HEARD = """
window.heard = [];
const real = OscillatorNode.prototype.start;
OscillatorNode.prototype.start = function (when) { heard.push(this.frequency.value); real.call(this, when); };
Object.defineProperty(navigator, "wakeLock", { value: { request: () => Promise.reject(new DOMException("no")) } });
Object.defineProperty(window, "speechSynthesis", { value: undefined });
"""
STOP_HZ, ALARM_HZ, CUE_HZ = 2350, 1250, 1760
KEPT = "path => caches.match(path).then(Boolean)"


@pytest.fixture
def opened(browser: Browser) -> Iterator[list[BrowserContext]]:
    contexts: list[BrowserContext] = []
    yield contexts
    for context in contexts:
        put_away(context)


def at_the_bell(
    browser: Browser, served: Served, stage: Stage, opened: list[BrowserContext], who: str
) -> tuple[Page, Watch]:
    watch = Watch(served.home)
    context, page = phone(browser, watch, script=HEARD)
    opened.append(context)
    context.add_cookies(stage.cookies(who, served.home))
    place = f"station/{stage.ids['station_id']}/" if who == "finn" else ""
    page.goto(f"/bell/{stage.ids['session_id']}/{place}")
    ready(page)
    return page, watch


def ready(page: Page) -> None:
    page.wait_for_selector("html[data-bell-ready]", state="attached")


def line(page: Page) -> Locator:
    return page.locator("[data-sound-line]")


def notes(page: Page, hertz: int) -> int:
    return int(page.evaluate("hertz => heard.filter(one => one === hertz).length", hertz))


def wait_for_notes(page: Page, hertz: int, many: int) -> None:
    page.wait_for_function("([hertz, many]) => heard.filter(one => one === hertz).length >= many", arg=[hertz, many])


def state(page: Page, mean: str) -> Locator:
    return page.locator(f'[data-mean-state="{mean}"]')


def test_each_means_says_how_it_stands(
    browser: Browser, served: Served, stage: Stage, opened: list[BrowserContext]
) -> None:
    page, watch = at_the_bell(browser, served, stage, opened, "finn")
    expect(line(page)).to_have_text("Sound: tap to turn on")
    assert page.evaluate("heard") == []
    page.locator("[data-sound-open]").tap()
    expect(line(page)).to_have_text("Sound is on")
    expect(state(page, "sound")).to_have_text("on")
    expect(state(page, "voice")).to_have_text("this phone cannot")
    expect(state(page, "awake")).to_have_text("the phone refused: is it saving power?")
    expect(page.locator("[data-sound-more]")).not_to_contain_text("screen stays on")
    expect(page.locator('[data-mean="voice"]')).to_be_hidden()
    page.locator('[data-mean="sound"]').tap()
    expect(state(page, "sound")).to_have_text("off")
    expect(line(page)).to_have_text("Sound is off")
    watch.nothing()


def test_after_a_reload_a_tap_is_needed_and_any_will_do(
    browser: Browser, served: Served, stage: Stage, opened: list[BrowserContext]
) -> None:
    page, watch = at_the_bell(browser, served, stage, opened, "finn")
    page.locator("[data-sound-open]").tap()
    expect(line(page)).to_have_text("Sound is on")
    page.reload()
    ready(page)
    expect(line(page)).to_have_text("Sound needs a tap")
    assert page.evaluate("heard") == []
    page.locator(".set-up summary").tap()
    expect(line(page)).to_have_text("Sound is on")
    page.wait_for_function("() => heard.length > 0")  # what is to come stands on the audio clock already
    watch.nothing()


def test_the_test_plays_every_signal_and_tells_about_the_locked_screen(
    browser: Browser, served: Served, stage: Stage, opened: list[BrowserContext]
) -> None:
    page, watch = at_the_bell(browser, served, stage, opened, "finn")
    page.locator("[data-sound-open]").tap()
    expect(line(page)).to_have_text("Sound is on")
    before = notes(page, STOP_HZ)
    page.locator("[data-sound-test]").tap()
    wait_for_notes(page, STOP_HZ, before + 12)
    expect(page.locator('[data-signal="start"]')).to_have_attribute("data-now", "")
    expect(page.locator("[data-sound-sheet]")).to_contain_text("do not rely on this phone")
    watch.nothing()


def test_an_alarm_and_stop_are_heard(
    browser: Browser, served: Served, stage: Stage, opened: list[BrowserContext]
) -> None:
    page, watch = at_the_bell(browser, served, stage, opened, "hazel")
    page.locator("[data-sound-open]").tap()
    expect(line(page)).to_have_text("Sound is on")
    page.locator("[data-sound-shut]").tap()
    before = notes(page, ALARM_HZ)
    tell = "level => document.dispatchEvent(new CustomEvent('fieldbell:alarm', { detail: { level, what: 'missing' } }))"
    page.evaluate(tell, "off")
    assert notes(page, ALARM_HZ) == before
    page.evaluate(tell, "leader")
    assert notes(page, ALARM_HZ) == before + 2
    before = notes(page, STOP_HZ)
    button = page.locator("[data-hold]:visible", has_text="STOP")
    button.dispatch_event("pointerdown", {"button": 0})
    page.wait_for_selector("html[data-face=stopped]", state="attached")
    wait_for_notes(page, STOP_HZ, before + 12)
    wait_for_notes(page, STOP_HZ, before + 24)  # and once more: the first may have been drowned
    page.get_by_role("button", name="Go on").tap()
    page.wait_for_selector("html:not([data-face=stopped])", state="attached")
    watch.nothing()


def test_the_caller_calls_without_a_network(
    browser: Browser, served: Served, stage: Stage, opened: list[BrowserContext]
) -> None:
    page, watch = at_the_bell(browser, served, stage, opened, "hazel")
    caller = f"/bell/{stage.ids['session_id']}/caller/"
    comes_true(page, "() => navigator.serviceWorker.ready.then(() => true)")
    comes_true(page, KEPT, caller)  # its files were there before it
    watch.awake = False
    page.context.set_offline(True)
    page.goto(caller)
    page.wait_for_selector("html[data-caller-ready]", state="attached")
    page.locator("[data-sound-open]").tap()
    expect(line(page)).to_have_text("Sound is on")
    page.locator("[data-sound-shut]").tap()
    page.get_by_text("Directions").tap()
    page.locator("[data-caller-start]").tap()
    expect(page.locator("[data-cue-count]")).to_have_text("1")
    expect(page.locator(".cue-shown svg")).to_be_visible()
    assert notes(page, CUE_HZ) == 1
    page.locator("[data-cue-stop]").tap()
    expect(page.locator("[data-cue]")).to_be_hidden()
    expect(page.locator("[data-caller-told]")).to_contain_text("Stopped. Cues called: 1.")
    page.context.set_offline(False)


def test_an_alarm_ends_the_calling(
    browser: Browser, served: Served, stage: Stage, opened: list[BrowserContext]
) -> None:
    page, watch = at_the_bell(browser, served, stage, opened, "finn")
    page.goto(f"/bell/{stage.ids['session_id']}/station/{stage.ids['station_id']}/caller/")
    page.wait_for_selector("html[data-caller-ready]", state="attached")
    page.locator("[data-caller-start]").tap()
    expect(page.locator("[data-cue]")).to_be_visible()
    page.evaluate(
        "document.dispatchEvent(new CustomEvent('fieldbell:alarm', { detail: { level: 'all', what: 'missing' } }))"
    )
    expect(page.locator("[data-cue]")).to_be_hidden()
    expect(page.locator("[data-caller-told]")).to_have_text("Stopped: an alarm rings.")
    watch.nothing()
