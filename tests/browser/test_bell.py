"""The bell on two phones in a browser: legible and sound in every state, STOP for everybody, on without a network."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser import evening as screens
from tests.browser.chromium import PHONE, SMALL_PHONE, Watch, height, overflow, phone, put_away
from tests.browser.fill import Stage
from tests.browser.servers import Served
from tests.browser.test_pages import troubles

SEND = """async ([address, fields]) => {
  const body = new FormData();
  for (const [name, value] of Object.entries(fields)) body.set(name, value);
  const token = document.querySelector("[name=csrfmiddlewaretoken]").value;
  const headers = { Accept: "application/json", "X-CSRFToken": token };
  return (await fetch(address, { method: "POST", body, headers })).json();
}"""

# The least contrast of what is seen, text and figures, by WCAG's relative luminance, in the colours that are painted.
CONTRAST = """() => {
  const canvas = Object.assign(document.createElement("canvas"), { width: 1, height: 1 });
  const brush = canvas.getContext("2d", { willReadFrequently: true });
  const light = (colour) => {
    brush.clearRect(0, 0, 1, 1);
    brush.fillStyle = colour;
    brush.fillRect(0, 0, 1, 1);
    const [r, g, b, a] = brush.getImageData(0, 0, 1, 1).data;
    const line = (x) => (x / 255 <= 0.04045 ? x / 255 / 12.92 : ((x / 255 + 0.055) / 1.055) ** 2.4);
    return a === 0 ? null : 0.2126 * line(r) + 0.7152 * line(g) + 0.0722 * line(b);
  };
  const behind = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const found = light(getComputedStyle(at).backgroundColor);
      if (found !== null) return found;
    }
    return 1;
  };
  const ratio = (a, b) => (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
  const wide = (element) => element.getBoundingClientRect().width > 2;
  const seen = (element) => element.checkVisibility({ visibilityProperty: true }) && wide(element);
  const found = [];
  for (const element of document.querySelectorAll("main *, .thumb *")) {
    const own = [...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim());
    if (own && seen(element) && !element.closest("svg, .bib")) {
      found.push([ratio(light(getComputedStyle(element).color), behind(element)), element.textContent.trim()]);
    }
  }
  for (const path of document.querySelectorAll(".digits .stroke")) {
    if (seen(path)) found.push([ratio(light(getComputedStyle(path).stroke), behind(path)), "figures"]);
  }
  return found.sort((one, other) => one[0] - other[0])[0];
}"""

# What a thumb is to hit and is smaller than 52 pixels either way.
SMALL = """() => [...document.querySelectorAll("main :is(a, button, summary), .thumb :is(a, button, summary)")]
  .filter((one) => one.checkVisibility({ visibilityProperty: true }))
  .map((one) => [one.getBoundingClientRect(), one.textContent.trim()])
  .filter(([box]) => box.height > 0 && (box.height < 52 || box.width < 52))
  .map(([box, text]) => `${text}: ${Math.round(box.width)} x ${Math.round(box.height)}`)"""


# The page as it is sent, beside what its script has made of it.
TWINS = """async () => {
  const sent = new DOMParser().parseFromString(await (await fetch(location.href)).text(), "text/html");
  const look = (page, { face, scene }) => ({ face, scene,
    word: page.querySelector("[data-face-word]").textContent,
    round: page.querySelector("[data-face-round]").textContent,
    figures: !page.querySelector("[data-face-digits]").hidden,
    turn: [...page.querySelectorAll(".turn[data-now]")].map((one) => one.dataset.turn).join() });
  const [face, scene] = sent.documentElement.dataset.told.split(" ");
  return [look(sent, { face, scene }), look(document, document.documentElement.dataset)];
}"""


class Field:
    """The leader's phone on the whole field, an assistant's at station 1, and the command log they share."""

    def __init__(self, browser: Browser, served: Served, stage: Stage) -> None:
        self.browser, self.served, self.stage = browser, served, stage
        self.home = f"/bell/{stage.ids['session_id']}/"
        self.watch = Watch(served.home)
        self.leader = self.open("hazel", self.home)
        self.station = f"{self.home}station/{stage.ids['station_id']}/"
        self.assistant = self.open("finn", self.station)

    def open(self, who: str, path: str, prepare: Callable[[Page], None] = lambda page: None) -> Page:
        context, page = phone(self.browser, self.watch, size=SMALL_PHONE)
        context.add_cookies(self.stage.cookies(who, self.served.home))
        prepare(page)
        page.goto(path)
        expect(page.locator("[data-bell]")).to_have_attribute("data-known", "asked")
        return page

    @property
    def pages(self) -> tuple[Page, Page]:
        return self.leader, self.assistant

    def give(self, kind: str, **more: Any) -> None:
        """A command of the leader, by post: what the buttons do is tested elsewhere."""
        fields = {"op_id": str(uuid.uuid4()), "kind": kind, "seen": 9999, **more}
        told = self.leader.evaluate(SEND, [f"{self.home}command/", fields])
        assert told["accepted"], told

    def state(self) -> dict[str, Any]:
        # A line kept open may be closed by the server just as it is used again.
        alone = {"Connection": "close"}
        asked = self.leader.context.request.get(f"{self.served.home}{self.home}state/", headers=alone)
        found: dict[str, Any] = asked.json()["state"]
        return found

    def to(self, kind: str) -> None:
        """Skip to the next part of a kind."""
        for _step in range(20):
            self.give("next")
            state = self.state()
            if state["index"] < len(state["segments"]) and state["segments"][state["index"]][0] == kind:
                return
        raise AssertionError(f"no part {kind}")

    def expect_face(self, name: str) -> None:
        for page in self.pages:
            expect(page.locator("html")).to_have_attribute("data-face", name)


@pytest.fixture(scope="module")
def both(browser: Browser, served: Served, stage: Stage) -> Field:
    return Field(browser, served, stage)


@pytest.fixture
def field(both: Field, served: Served) -> Iterator[Field]:
    """The bell runs in its first part, and both phones are as they were."""
    found = both
    for page in found.pages:
        page.emulate_media(media="screen", color_scheme="light")
        page.set_viewport_size(SMALL_PHONE)
    while found.state()["index"] > 0 or found.state()["phase"] != "running":
        found.give("resume" if found.state()["phase"] in ("paused", "stopped") else "back")
    found.expect_face("still")
    yield found
    found.watch.nothing()
    assert served.broken() == []


# --- legible and sound in every state ---------------------------------------------------------------------------------


def last_ten(field: Field) -> None:
    field.to("work")
    state = field.state()
    for seconds in (600, 600):
        left = (state["deadline_ms"] - state["since_ms"]) // 1000
        field.give("", add=-min(seconds, max(0, left - 10)))
        state = field.state()
    for page in field.pages:
        expect(page.locator("html")).to_have_attribute("data-last", "")


STATES: dict[str, tuple[str, Callable[[Field], None]]] = {
    "gather": ("still", lambda field: None),
    "work": ("work", lambda field: field.to("work")),
    "move": ("move", lambda field: field.to("change")),
    "water": ("water", lambda field: field.to("water")),
    "last ten": ("work", last_ten),
    "paused": ("paused", lambda field: field.give("pause")),
    "stop": ("stopped", lambda field: field.give("stop", reason="hurt")),
    "thunder": ("stopped", lambda field: field.give("thunder")),
}


OFTEN = ("work", "stop")


@pytest.mark.parametrize(
    "name", [name if name in OFTEN else pytest.param(name, marks=pytest.mark.long) for name in STATES]
)
def test_the_state_is_sound_and_legible(field: Field, name: str) -> None:
    face, prepare = STATES[name]
    prepare(field)
    field.expect_face(face)
    for page in field.pages:
        sent, shown = page.evaluate(TWINS)
        assert sent == shown
        assert_figures_are_large(page)
        assert_legible(page)
        assert overflow(page) <= 0
        assert page.evaluate(SMALL) == []
    for page in field.pages:
        page.set_viewport_size({"width": PHONE["width"], "height": height(page)})
        assert troubles(page) == []


def assert_figures_are_large(page: Page) -> None:
    """At least 22 % of the screen's width each for M:SS and STOP, 17 % for MM:SS."""
    for size in (SMALL_PHONE, PHONE):
        page.set_viewport_size(size)
        digits = page.locator("[data-face-digits]")
        text = digits.get_attribute("data-text") or ""
        share = 0.17 if text.replace(":", "").isdigit() and len(text) == 5 else 0.22
        widths = digits.locator("svg:not(.colon)").evaluate_all(
            "all => all.map(one => one.getBoundingClientRect().width)"
        )
        assert len(widths) >= 3
        assert min(widths) >= share * size["width"], (text, widths)


def assert_legible(page: Page) -> None:
    """7 to 1 by day, by night and in bright sun."""
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        ratio, text = page.evaluate(CONTRAST)
        assert ratio >= 7, (scheme, ratio, text)
    page.evaluate("document.documentElement.dataset.sun = 'on'")
    ratio, text = page.evaluate(CONTRAST)
    assert ratio >= 7, ("sun", ratio, text)
    page.evaluate("delete document.documentElement.dataset.sun")
    page.emulate_media(color_scheme="light")


def test_the_measure_of_contrast_would_find_a_faint_word(field: Field) -> None:
    field.assistant.evaluate("document.querySelector('[data-face-word]').style.setProperty('color', '#8a8a80')")
    ratio, text = field.assistant.evaluate(CONTRAST)
    field.assistant.evaluate("document.querySelector('[data-face-word]').style.removeProperty('color')")
    assert ratio < 7
    assert text == "GATHER"


def test_on_paper_every_round_stands_in_black_with_its_time(field: Field) -> None:
    field.to("work")
    for page in field.pages:
        page.emulate_media(media="print")
        expect(page.locator("[data-face-digits]")).to_be_hidden()
        for turn in page.locator(".turn").all():
            expect(turn).to_be_visible()
            expect(turn.locator(".turn-head")).to_be_visible()
        expect(page.get_by_text("Everybody to the leader")).to_be_visible()
        ratio, text = page.evaluate(CONTRAST)
        assert ratio >= 12, (ratio, text)


# --- STOP -------------------------------------------------------------------------------------------------------------


def test_an_assistant_holds_and_everybody_stops_until_the_leader_goes_on(field: Field) -> None:
    field.to("work")
    button = field.assistant.get_by_role("button", name="STOP")
    button.tap()  # a tap is nothing
    button.hover()
    field.assistant.mouse.down()
    field.expect_face("stopped")
    field.assistant.mouse.up()
    expect(field.assistant.get_by_role("button", name="Go on")).to_have_count(0)
    field.assistant.get_by_text("Say why").tap()
    screens.tap(field.assistant, "A child is missing")
    for page in field.pages:
        expect(page.get_by_text("A child is missing", exact=True).first).to_be_visible()
        expect(page.get_by_text("children to count")).to_be_visible()
        expect(page.locator("[data-say]")).to_contain_text("A child is missing")
    screens.tap(field.leader, "Go on")
    field.expect_face("work")


@pytest.mark.parametrize("key", ["Space", "Enter"])
def test_stop_works_by_keyboard(field: Field, key: str) -> None:
    button = field.assistant.get_by_role("button", name="STOP")
    button.focus()
    field.assistant.keyboard.press(key)
    assert field.state()["phase"] == "running"
    field.assistant.keyboard.down(key)
    field.expect_face("stopped")
    field.assistant.keyboard.up(key)


def test_thunder_names_when_play_may_be_considered_again_and_its_source(field: Field) -> None:
    field.give("thunder")
    for page in field.pages:
        expect(page.get_by_text("Play may be considered again from")).to_be_visible()
        expect(page.get_by_text("NCAA Sports Medicine Handbook")).to_be_visible()
        assert "safe" not in page.locator("main").inner_text().casefold()


# --- no network -------------------------------------------------------------------------------------------------------


def test_with_the_network_cut_the_bell_goes_on_and_no_command_is_kept(field: Field) -> None:
    field.to("work")
    before = field.state()
    with field.watch.asleep():
        for page in field.pages:
            page.context.set_offline(True)
        screens.tap(field.leader, "Pause")
        expect(field.leader.get_by_text("Not heard: use the whistle")).to_be_visible()
        for page in field.pages:
            expect(page.get_by_text("still on time")).to_be_visible(timeout=20_000)
            expect(page.locator("[data-bell]")).to_have_attribute("data-deadline", str(before["deadline_ms"]))
            assert overflow(page) <= 0
            assert troubles(page) == []
            assert_legible(page)
        for page in field.pages:
            page.context.set_offline(False)
        screens.expect_network(True, *field.pages)
    assert field.state() == before
    field.give("pause")
    field.expect_face("paused")


def without_sockets(page: Page) -> None:
    page.route_web_socket("**/ws/bell/**", lambda socket: socket.close())


def test_where_sockets_are_blocked_the_bell_comes_by_ordinary_requests(field: Field) -> None:
    with field.watch.asleep():
        page = field.open("hazel", field.home, without_sockets)
        screens.tap(page, "Pause")
        field.expect_face("paused")
        expect(page.locator("html")).to_have_attribute("data-face", "paused")
        field.give("resume")
        expect(page.locator("html")).not_to_have_attribute("data-face", "paused", timeout=20_000)
        put_away(page.context)


# --- rights that end --------------------------------------------------------------------------------------------------


def test_signed_out_every_page_of_the_phone_asks_who_it_is_and_shows_no_name(field: Field) -> None:
    with field.watch.asleep():
        page = field.open("finn elsewhere", field.station)
        expect(page.locator(".name").first).to_be_visible()
        other = page.context.new_page()
        other.goto("/")
        other.get_by_role("button", name="Sign out").tap()
        expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
        expect(page.locator(".name")).to_have_count(0)
        expect(page.get_by_role("button", name="STOP")).to_be_hidden()
        put_away(page.context)
    # The same adult's other phone goes on.
    expect(field.assistant.locator(".name").first).to_be_visible()
    field.give("pause")
    field.expect_face("paused")


def test_a_helper_who_is_sent_away_reads_why(field: Field) -> None:
    with field.watch.asleep():
        helper = field.open("helper", field.home)
        field.leader.get_by_text("1 helper let in").tap()
        screens.tap(field.leader, "Send away")
        expect(helper.get_by_text("This phone may not follow the session any more")).to_be_visible()
        put_away(helper.context)
