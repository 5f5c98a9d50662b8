"""The browser the tests drive, and what it must never say."""

from __future__ import annotations

import os
import shutil
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Response, ViewportSize, sync_playwright

from tests.needs import missing

PHONE: ViewportSize = {"width": 390, "height": 844}
SMALL_PHONE: ViewportSize = {"width": 360, "height": 640}
NAMES = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
PATIENCE_S = 30
LONGEST_S = 200.0  # no test takes half of it
RUNNING: set[int] = set()  # the processes of this run's browsers
FLAGS = ["--no-sandbox", "--disable-dev-shm-usage", "--disable-background-networking"]


def find_chromium() -> str:
    """The path of a Chromium. Without one the tests fail in CI and are left out, by name, elsewhere."""
    for name in NAMES:
        if path := shutil.which(name):
            return path
    missing("browser tests need Chromium (Debian: apt install chromium)")


@contextmanager
def patience(seconds: float = LONGEST_S) -> Iterator[None]:
    """What a page is asked may never be answered, and the driver would wait for ever: then the browsers end.

    The one test fails by its name, instead of the whole run.
    """
    impatient = threading.Timer(seconds, lambda: [os.kill(number, signal.SIGKILL) for number in RUNNING])
    impatient.start()
    try:
        yield
    finally:
        impatient.cancel()


@contextmanager
def browsing() -> Iterator[Browser]:
    """A browser; closed at the end, because its event loop would stand in the way of other tests."""
    path = find_chromium()
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=FLAGS)
        told = browser.new_browser_cdp_session().send("SystemInfo.getProcessInfo")
        number = next(process["id"] for process in told["processInfo"] if process["type"] == "browser")
        RUNNING.add(number)
        try:
            yield browser
        finally:
            with patience(PATIENCE_S):  # now and then one never answers
                browser.close()
            RUNNING.discard(number)


def put_away(context: BrowserContext) -> None:
    """Let a phone's pages go, and wait for none: closing a page or a context has been seen to wait for ever."""
    browser = context.browser
    assert browser is not None
    line = browser.new_browser_cdp_session()
    for page in context.pages:
        told = context.new_cdp_session(page).send("Target.getTargetInfo")
        line.send("Target.closeTarget", {"targetId": told["targetInfo"]["targetId"]})
    line.detach()


@dataclass
class Watch:
    """Collects what no page may do: errors on the console, blocked content, broken answers, calls to other hosts."""

    home: str
    found: list[str] = field(default_factory=list)
    awake: bool = True

    def add(self, page: Page) -> Page:
        page.on("console", self._console)
        page.on("pageerror", lambda error: self._note(f"script: {error}"))
        page.on("response", self._response)
        return page

    def _note(self, what: str) -> None:
        if self.awake:
            self.found.append(what)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self._note(f"console: {message.text} ({message.location.get('url', '')})")

    def _response(self, response: Response) -> None:
        if response.status >= 500:
            self._note(f"{response.status}: {response.url}")
        if response.url.startswith("http") and not response.url.startswith(self.home):
            self._note(f"another host: {response.url}")

    @contextmanager
    def asleep(self) -> Iterator[None]:
        """While the server is away on purpose, a page that cannot reach it may say so."""
        self.awake = False
        try:
            yield
        finally:
            self.awake = True

    def nothing(self) -> None:
        assert self.found == []


def phone(
    browser: Browser, watch: Watch, *, script: str = "", size: ViewportSize = PHONE
) -> tuple[BrowserContext, Page]:
    """A phone of its own: own cookies, touch, and optionally a script that runs before every page's own."""
    context = browser.new_context(viewport=size, has_touch=True, is_mobile=True, base_url=watch.home)
    context.set_default_timeout(15_000)
    if script:
        context.add_init_script(script)
    return context, watch.add(context.new_page())


def overflow(page: Page) -> int:
    """How many pixels the page is wider than the screen."""
    return int(page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))


def height(page: Page) -> int:
    """Of the whole page, in pixels."""
    return int(page.evaluate("document.documentElement.scrollHeight"))


def comes_true(page: Page, asked: str, given: object = None) -> None:
    """Wait until an async function of the page answers yes. `wait_for_function` takes its promise itself for a yes."""
    later = "const later = (ms) => new Promise(next => setTimeout(next, ms, false))"
    # A promise of the page may never be kept: it must not hold up every test after this one.
    once = "await Promise.race([asked(given), later(5000)])"
    end = f"const end = performance.now() + {PATIENCE_S * 1000}"
    tries = f"{later}; {end}; while (performance.now() < end) {{ if ({once}) return true; await later(50); }}"
    assert page.evaluate(f"async (given) => {{ const asked = {asked}; {tries} return false; }}", given), asked
