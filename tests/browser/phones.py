"""An adult's phone on the real server: with and without a network, and what of the register is seen on it."""

from __future__ import annotations

from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.chromium import PHONE, Watch, comes_true
from tests.browser.evening import tap
from tests.browser.fill import Stage
from tests.browser.servers import Served

NAMES = ("Ada Reed", "Bo Reed", "Cleo Reed", "Dev Reed", "Eli Reed", "Fay Reed")
COPY = """() => caches.open('fieldbell-pages').then(pages => pages.match(location.pathname))
    .then(copy => copy && copy.text()).then(Boolean)"""
PAGES = "caches.open('fieldbell-pages').then(c => c.keys()).then(k => k.map(r => new URL(r.url).pathname).sort())"


OPEN: list[BrowserContext] = []


class Phone:
    """One adult's phone on the real server."""

    def __init__(self, browser: Browser, served: Served, stage: Stage, who: str) -> None:
        self.context: BrowserContext = browser.new_context(viewport=PHONE, has_touch=True, base_url=served.home)
        self.context.set_default_timeout(15_000)
        self.context.add_cookies(stage.cookies(who, served.home))
        self.stage, self.watch = stage, Watch(served.home)
        self.page: Page = self.watch.add(self.context.new_page())
        OPEN.append(self.context)

    def path(self, name: str) -> str:
        return {
            "register": f"/register/{self.stage.ids['session_id']}/",
            "home": f"/register/{self.stage.ids['session_id']}/home/",
            "bell": f"/bell/{self.stage.ids['session_id']}/",
            "station": f"/bell/{self.stage.ids['session_id']}/station/{self.stage.ids['station_id']}/",
            "plan": f"/plan/{self.stage.ids['session_id']}/",
            "emergency": f"/register/{self.stage.ids['session_id']}/emergency/",
        }[name]

    def open(self, name: str) -> Page:
        """The page, with its worker in charge and its copy on the phone."""
        self.page.goto(self.path(name))
        self.ready()
        self.page.wait_for_function("() => navigator.serviceWorker.controller !== null")
        if name != "emergency":
            comes_true(self.page, COPY)
        return self.page

    def ready(self) -> None:
        self.page.wait_for_selector("html[data-queue-ready]", state="attached")
        if "/register/" in self.page.url and "emergency" not in self.page.url:
            self.page.wait_for_selector("html[data-rows-ready]", state="attached")

    def clear(self) -> Page:
        """The register with nobody marked, whatever other tests left."""
        page = self.open("register")
        undo = page.locator("#children button[aria-label^=Undo]")
        while undo.count():
            undo.first.tap()
            drawn(page)
        waiting(page, 0)
        return page

    def sends(self) -> None:
        self.mend()
        self.page.evaluate("dispatchEvent(new Event('online'))")

    def cut(self) -> None:
        self.watch.awake = False
        self.context.set_offline(True)

    def mend(self) -> None:
        self.context.set_offline(False)
        self.watch.awake = True

    def row(self, name: str) -> str:
        return f'#children .row:has(b:text-is("{name}"))'

    def mark(self, name: str, page: Page | None = None) -> None:
        on = page or self.page
        on.locator(f"{self.row(name)} button.mark-tap").tap()
        expect(on.locator(f"{self.row(name)} .mark")).to_have_attribute("data-kind", "here")

    def here(self, name: str) -> None:
        """This child is here, whatever other tests left, and the club has heard it."""
        page = self.open("register")
        if page.locator(f"{self.row(name)} .mark").get_attribute("data-kind") != "here":
            self.mark(name)
        waiting(page, 0)


def unmarked(page: Page) -> list[str]:
    return page.locator('#children .mark[data-kind="cleared"] b').all_inner_texts()


def kinds(page: Page) -> dict[str, str]:
    rows = page.locator("#children .mark").all()
    return {row.locator("b").inner_text(): row.get_attribute("data-kind") or "" for row in rows}


def drawn(page: Page) -> None:
    """What was tapped stands on its row: until then its button is busy."""
    expect(page.locator('#children [aria-busy="true"]')).to_have_count(0)


def waiting(page: Page, number: int) -> None:
    """The rows say so a frame after the tap, the sum a moment later."""
    drawn(page)
    if not number:
        expect(page.locator('[data-outbox-note="waiting"]')).to_have_count(0)
    expect(page.locator("html")).to_have_attribute("data-waiting", str(number))


def write_new_child(page: Page, name: str) -> None:
    tap(page, "New child")
    sheet = page.locator("dialog#new-child")
    sheet.get_by_label("First name").fill(name)
    sheet.get_by_label("Year of birth").fill("2016")
    sheet.get_by_label("An adult's phone").fill("07700 900123")
    sheet.get_by_label("Who may collect").fill("Rob Weir")
    sheet.get_by_label("No", exact=True).check()
    sheet.get_by_role("button", name="Add and mark here").tap()
    expect(sheet).to_be_hidden()


WRITES = """new Promise((done) => { indexedDB.open("fieldbell", 1).onsuccess = ({target}) => {
    const request = target.result.transaction("writes").objectStore("writes").count();
    request.onsuccess = () => done(request.result); }; })"""
