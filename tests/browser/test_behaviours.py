"""The small behaviours hung on data- attributes, each on a page of its own under the real content policy."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from django.conf import settings
from playwright.sync_api import Browser, Page, Route

from clubapp.core.diagram import drawing
from clubapp.core.diagram.reading import layout_of
from tests.browser.chromium import Watch, phone, put_away

HOME = "http://club.example"  # plain http, as on the local network: no clipboard, no service worker
STATIC = Path(settings.BASE_DIR) / "static"
FRAME = """<!doctype html><html lang="en"><head><title>A page</title><link rel="icon" href="data:,">
<link rel="stylesheet" href="/css/reset.css"><script src="/js/first.js"></script>
<script type="module" src="/js/app.js"></script></head><body>
<div id="messages" data-unsent="It did not reach the club." data-refused="It was not taken."></div>{}</body></html>"""
TYPES = {".js": "text/javascript", ".css": "text/css"}


def policy() -> str:
    directives: dict[str, list[str]] = settings.CONTENT_SECURITY_POLICY["DIRECTIVES"]
    return "; ".join(f"{name} {' '.join(sources)}" for name, sources in directives.items())


class Stand:
    """Answers for one made-up host: our own scripts from the disk, one page, and every form that is sent."""

    def __init__(self, page: Page) -> None:
        self.page, self.body = page, ""
        self.sent: list[str] = []
        page.route(f"{HOME}/**", self.answer)

    def answer(self, route: Route) -> None:
        path = urlsplit(route.request.url).path
        if route.request.method == "POST":
            self.sent.append(route.request.post_data or "")
        file = STATIC / path.lstrip("/")
        body = file.read_text() if file.is_file() else FRAME.format(self.body)
        kind = TYPES.get(file.suffix, "text/html; charset=utf-8")
        route.fulfill(body=body, content_type=kind, headers={"Content-Security-Policy": policy()})

    def show(self, body: str) -> Page:
        self.body = body
        self.page.goto(f"{HOME}/page/")
        self.page.wait_for_selector("html[data-ready]", state="attached")
        return self.page


@pytest.fixture
def stand(browser: Browser) -> Iterator[Stand]:
    watch = Watch(HOME)
    context, page = phone(browser, watch)
    yield Stand(page)
    put_away(context)
    watch.nothing()


def test_two_quick_taps_send_a_form_once(stand: Stand) -> None:
    page = stand.show('<form method="post" action="/there/"><button name="tap" value="1">Send</button></form>')
    let_through = page.evaluate("""() => {
        const seen = [];
        addEventListener("submit", (event) => { seen.push(event.defaultPrevented); event.preventDefault(); });
        const button = document.querySelector("button");
        button.click(); button.click();
        return seen;
    }""")
    assert let_through == [False, True]


def test_a_form_is_alive_again_when_the_browser_comes_back(stand: Stand) -> None:
    page = stand.show('<form method="post" action="/there/"><button name="tap" value="1">Send</button></form>')
    page.click("button")
    page.wait_for_url("**/there/")
    page.go_back()
    page.click("button")
    page.wait_for_url("**/there/")
    assert stand.sent == ["tap=1", "tap=1"]


NO_STORE = """const nothing = () => { throw new DOMException("not here", "InvalidStateError"); };
for (const name of ["indexedDB", "localStorage"]) Object.defineProperty(window, name, { get: nothing });"""


def test_where_the_phone_lets_nothing_be_stored_signing_out_works_all_the_same(stand: Stand) -> None:
    """A private window of some browsers."""
    stand.page.add_init_script(NO_STORE)
    page = stand.show('<form method="post" action="/there/" data-leave><button>Sign out</button></form>')
    page.wait_for_selector("html[data-queue-ready]", state="attached")
    page.click("button")
    page.wait_for_url("**/there/")
    assert len(stand.sent) == 1


def test_a_choice_sends_its_form_and_needs_no_button(stand: Stand) -> None:
    page = stand.show(
        '<form method="post" action="/there/"><label>Squad <select name="squad" data-submit>'
        '<option value="1">One</option><option value="2">Two</option></select></label>'
        "<button data-submit-button>Go</button></form>"
    )
    assert page.locator("button").is_hidden()
    page.select_option("select", "2")
    page.wait_for_url("**/there/")
    assert stand.sent == ["squad=2"]


ROWS = (
    '<div class="search" hidden><label>Find <input type="search" data-filter="#rows"></label></div>'
    '<ul id="rows">{}</ul>'
).format("".join(f'<li class="row">{name}</li>' for name in ("Ada Reed", "Bo Reed", "Zoë Alder")))


@pytest.mark.parametrize(
    ("typed", "left"),
    [("re", ["Ada Reed", "Bo Reed"]), ("zoe", ["Zoë Alder"]), ("reed b", ["Bo Reed"]), ("eed", []), ("", None)],
)
def test_typing_leaves_the_rows_whose_words_begin_so(stand: Stand, typed: str, left: list[str] | None) -> None:
    page = stand.show(ROWS)
    page.fill("input", "x")
    page.fill("input", typed)
    everybody = ["Ada Reed", "Bo Reed", "Zoë Alder"]
    assert page.locator("li:visible").all_inner_texts() == (everybody if left is None else left)


def test_a_link_is_copied_on_plain_http_too(stand: Stand) -> None:
    page = stand.show(
        '<p id="link">https://club.example/x</p><button data-copy="#link" data-copied="Copied" hidden>Copy</button>'
        '<label>Paste <textarea id="into"></textarea></label>'
    )
    assert page.evaluate("navigator.clipboard === undefined")
    page.click("button")
    page.wait_for_selector("text=Copied")
    page.focus("#into")
    page.keyboard.press("Control+V")
    assert page.input_value("#into") == "https://club.example/x"


def test_bright_sun_stays_on_this_phone_until_it_is_switched_off(stand: Stand) -> None:
    page = stand.show('<button data-sun aria-pressed="false">Bright sun</button>')
    page.click("button[data-sun]")
    assert page.get_attribute("button", "aria-pressed") == "true"
    page.reload()
    page.wait_for_selector('html[data-sun="on"][data-ready]')
    page.click("button[data-sun]")
    page.reload()
    page.wait_for_selector("html:not([data-sun])[data-ready]")


def test_printing_is_offered_where_it_works(stand: Stand) -> None:
    page = stand.show("<button data-print hidden>Print</button>")
    page.evaluate("window.print = () => { document.title = 'printed'; }")
    page.click("button")
    assert page.title() == "printed"


@pytest.mark.parametrize(
    ("event", "said"),
    [("htmx:sendError", "It did not reach the club."), ("htmx:responseError", "It was not taken.")],
)
def test_a_tap_that_failed_says_so(stand: Stand, event: str, said: str) -> None:
    page = stand.show("")
    page.evaluate("(name) => document.body.dispatchEvent(new CustomEvent(name, {bubbles: true}))", event)
    assert page.inner_text("#messages") == said


def test_what_is_wrong_with_a_form_is_read_first(stand: Stand) -> None:
    page = stand.show('<div tabindex="-1" data-focus-here>Nothing is saved yet.</div>')
    assert page.evaluate("document.activeElement.textContent") == "Nothing is saved yet."


def test_a_tap_on_the_ground_is_sent_in_metres(stand: Stand) -> None:
    """On the bare ground it puts something there, to half a metre; near a thing, it chooses that thing."""
    drawn = {"size": [12, 12], "cones": [{"at": [9, 3]}]}
    fields = "".join(f'<input name="{name}">' for name in ("x", "y", "chosen", "tool"))
    page = stand.show(
        f'<script type="module" src="/js/planning/board.js"></script><form method="post" action="/there/">{fields}'
        f'<input type="hidden" name="drawing" value=\'{json.dumps(drawn)}\'>'
        '<button name="do" value="put">Put</button><button name="do" value="choose">Choose</button>'
        f"<div data-board>{drawing.svg(layout_of(drawn), 'Pond')}</div></form>"
    )
    for tool, at, sent in (("cone", (2.9, 7.1), "x=3&y=7&chosen=&tool=cone"), ("pick", (9.2, 3.1), "chosen=cones-0")):
        page.fill("[name=tool]", tool)
        tapped = page.evaluate(
            """([x, y]) => {
                const svg = document.querySelector("svg");
                const scale = Number(svg.dataset.scale);
                const at = new DOMPoint(x * scale, -y * scale).matrixTransform(svg.getScreenCTM());
                return [at.x, at.y];
            }""",
            at,
        )
        with page.expect_navigation():
            page.mouse.click(*tapped)
        assert sent in stand.sent[-1]
        assert f"do={'choose' if tool == 'pick' else 'put'}" in stand.sent[-1]
        page.goto(f"{HOME}/page/")
