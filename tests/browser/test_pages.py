"""Every page in a browser: axe finds nothing (WCAG 2.2 AA), nothing breaks or is blocked, no sideways scroll."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from clubapp.live import actions as live
from clubapp.live.passes import COOKIE
from tests.browser.chromium import PHONE, SMALL_PHONE, Watch, height, overflow, phone
from tests.browser.fill import Stage, begin_now
from tests.browser.servers import Served
from tests.cast import Cast
from tests.rules.addresses import addresses, ids_of

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


@dataclass(frozen=True)
class Visit:
    """A page, who looks at it, and what distinguishes this look from others."""

    name: str
    who: str
    query: str = ""

    def __str__(self) -> str:
        return f"{self.name} {self.who} {self.query}".strip()

    def path(self, stage: Stage) -> str:
        address = next(address for address in addresses() if address.name == self.name)
        return address.path(stage.ids | {"token": stage.tokens.get(self.name, "")}) + self.query


VISITS = (
    Visit("core:offline", "nobody"),
    Visit("core:phone", "finn"),
    Visit("desk:home", "hazel"),
    Visit("desk:home", "finn"),
    Visit("desk:child", "hazel"),
    Visit("people:sign_in", "nobody"),
    Visit("people:set_up", "nobody"),
    Visit("account_request_login_code", "nobody"),
    Visit("account_inactive", "nobody"),
    Visit("account_sign_ins", "hazel"),
    Visit("account_reauthenticate", "hazel"),
    Visit("mfa_index", "hazel"),
    Visit("mfa_list_webauthn", "hazel"),
    Visit("people:invitation", "nobody"),
    Visit("people:athletes", "hazel"),
    Visit("people:athlete", "hazel"),
    Visit("people:athlete_new", "hazel"),
    Visit("people:athlete_erase", "hazel"),
    Visit("people:athlete_merge", "hazel"),
    Visit("people:waiting_list", "hazel"),
    Visit("people:medical_note", "hazel"),
    Visit("people:guardian_new", "hazel"),
    Visit("people:guardian", "hazel"),
    Visit("people:squads", "hazel"),
    Visit("people:squad", "hazel"),
    Visit("people:pair_rules", "hazel"),
    Visit("people:pair_rule", "hazel"),
    Visit("people:members", "hazel"),
    Visit("people:member", "hazel"),
    Visit("people:members", "wanda"),
    Visit("people:mails", "hazel"),
    Visit("people:log", "hazel"),
    Visit("people:concern_new", "finn"),
    Visit("people:concerns", "wanda"),
    Visit("people:roster_import", "hazel"),
    Visit("people:import_columns", "hazel"),
    Visit("people:import_preview", "hazel"),
    Visit("planning:move", "hazel"),
    Visit("planning:sessions", "hazel"),
    Visit("planning:sessions", "finn"),
    Visit("planning:session_new", "hazel"),
    Visit("planning:session", "hazel"),
    Visit("planning:session", "finn"),
    Visit("planning:field", "hazel"),
    Visit("register:safety", "finn", "?temperature=31&humidity=60&wbgt=27"),
    Visit("venues:venues", "hazel"),
    Visit("venues:venue", "hazel"),
    Visit("venues:venue_new", "hazel"),
    Visit("planning:station", "hazel"),
    Visit("planning:menu", "hazel"),
    Visit("planning:term", "hazel"),
    Visit("planning:series", "hazel"),
    Visit("planning:templates", "hazel"),
    Visit("planning:review", "hazel"),
    Visit("library:cards", "hazel"),
    Visit("library:card", "hazel"),
    Visit("library:card", "finn"),
    Visit("library:card_new", "hazel"),
    Visit("library:card_change", "hazel"),
    Visit("library:drawing", "hazel"),
    Visit("library:bring_in", "hazel"),
    Visit("register:register", "hazel"),
    Visit("register:register", "finn"),
    Visit("register:other", "hazel"),
    Visit("register:health", "finn"),
    Visit("register:new_child", "hazel"),
    Visit("register:emergency", "finn"),
    Visit("register:going_home", "hazel"),
    Visit("register:going_home", "finn"),
    Visit("register:no_word", "hazel"),
    Visit("register:log", "finn"),
    Visit("register:child", "hazel"),
    Visit("register:term", "hazel"),
    Visit("register:ask_after", "hazel"),
    Visit("results:tests", "hazel"),
    Visit("results:test", "hazel"),
    Visit("results:test_change", "hazel"),
    Visit("results:test_new", "hazel"),
    Visit("progress:squad", "hazel"),
    Visit("progress:child", "hazel"),
    Visit("games:games", "hazel"),
    Visit("games:games", "finn"),
    Visit("games:game", "hazel"),
    Visit("games:game", "finn"),
    Visit("games:standing", "hazel"),
    Visit("games:term", "hazel"),
    Visit("games:term_order", "hazel"),
    Visit("rotation:plan", "hazel"),
    Visit("rotation:plan", "finn"),
    Visit("desk:paper", "hazel"),
    Visit("desk:paper_session", "hazel"),
    Visit("desk:paper_stations", "finn"),
    Visit("desk:paper_register", "finn"),
    Visit("desk:paper_emergency", "hazel"),
    Visit("rotation:costs", "hazel"),
    Visit("live:bell", "hazel"),
    Visit("live:bell", "finn"),
    Visit("live:bell", "helper"),
    Visit("live:station", "finn"),
    Visit("live:station", "helper"),
    Visit("live:stopwatch_at", "finn"),
    Visit("live:stopwatch_at", "helper"),
    Visit("live:stopwatch_all", "hazel"),
    Visit("live:times", "hazel"),
    Visit("live:entry_choose", "finn"),
    Visit("live:entry", "finn"),
    Visit("live:entry_fix", "finn"),
    Visit("live:caller_at", "finn"),
    Visit("live:caller_at", "helper"),
    Visit("live:caller_all", "hazel"),
    Visit("live:health", "helper"),
    Visit("live:count", "finn"),
    Visit("live:count", "helper", "?round=2"),
    Visit("live:incident_new", "helper"),
    Visit("live:not_before", "hazel"),
    Visit("live:incidents", "wanda"),
    Visit("live:incident", "hazel"),
    Visit("register:told", "hazel"),
    Visit("live:kept_incident", "wanda"),
    Visit("live:waiting", "waiter"),
    Visit("live:lead", "hazel"),
    Visit("live:passes", "hazel"),
    Visit("live:repair", "hazel", "?open=left"),
    Visit("live:repair", "hazel", "?lost=5"),
    Visit("live:gate", "nobody"),
    Visit("live:code", "nobody"),
    Visit("family:home", "greta"),
    Visit("family:child", "greta"),
    Visit("family:health", "greta"),
    Visit("family:tests", "greta"),
    Visit("family:consents", "greta"),
    Visit("family:contact", "greta"),
    Visit("family:calendar", "greta"),
    Visit("family:pick_up", "greta"),
    Visit("family:messages", "greta"),
    Visit("family:notices", "greta"),
    Visit("planning:messages", "hazel"),
    Visit("people:keeping", "hazel"),
    Visit("account_change_password", "hazel"),
    Visit("account_reset_password", "nobody"),
)
# Pages that lead elsewhere in an evening without a plan, as the cast's is.
ONLY_THEN = {"live:repair": "a running bell"}
# Addresses that answer a GET with something that is no page, each with what it is.
NO_PAGE = {
    "account_login": "the sign-in page once more, under the name allauth gives it",
    "core:worker": "a script",
    "core:manifest": "data for the browser",
    "core:who": "data for what waits to be sent",
    "live:state": "data for the bell",
    "live:watch": "a fragment",
    "live:rings": "a fragment",
    "live:phones": "a fragment",
    "people:roster_export": "a file",
    "library:card_file": "a file",
    "library:own_file": "a file",
    "mfa_reauthenticate": "only for who has an app set up, which nobody here has",
    "register:news": "a fragment",
    "register:ratio": "a fragment",
    "family:feed": "a file for a calendar",
}


@dataclass(frozen=True)
class Look:
    """One adult's page, which goes from address to address: opening one for each would cost more than the look."""

    page: Page
    watch: Watch


@pytest.fixture(scope="module")
def looks(stage: Stage, served: Served, browser: Browser) -> dict[str, Look]:
    everybody = {}
    for who in dict.fromkeys(visit.who for visit in VISITS):
        watch = Watch(served.home)
        context, page = phone(browser, watch)
        context.add_cookies(stage.cookies(who, served.home))
        everybody[who] = Look(page, watch)
    return everybody


# Every third in the default run; the frame and most parts are the same on all of them.
@pytest.mark.parametrize(
    "visit",
    [pytest.param(visit, marks=[pytest.mark.long] if at % 3 else [], id=str(visit)) for at, visit in enumerate(VISITS)],
)
def test_the_page_is_sound(stage: Stage, served: Served, looks: dict[str, Look], visit: Visit) -> None:
    page, watch = looks[visit.who].page, looks[visit.who].watch
    watch.found.clear()
    page.set_viewport_size(SMALL_PHONE)
    answer = page.goto(visit.path(stage))
    assert answer is not None
    assert (answer.status, page.url) == (200, served.home + visit.path(stage))
    assert page.title()
    assert page.locator("h1").count() == 1
    assert overflow(page) <= 0
    # The whole page at once: under the bar at the thumb a control is only out of the way until one scrolls.
    page.set_viewport_size({"width": PHONE["width"], "height": height(page)})
    assert troubles(page) == []
    page.goto("about:blank")  # what a page still had to say it says before it is left
    watch.nothing()


def troubles(page: Page) -> list[str]:
    """What axe finds, with the element."""
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": TAGS}}).response["violations"]
    return [f"{row['id']}: {node['html'][:160]}" for row in found for node in row["nodes"]]


def test_every_page_is_visited(cast: Cast) -> None:
    """A page answers a GET of somebody who may see it; whatever refuses the method only takes forms."""
    clients = [cast.client(user) for user in (cast.hazel, cast.greta, cast.wanda, None)]
    begin_now(cast)
    entry = live.make_pass(session=cast.session, by=cast.hazel)
    clients[-1].cookies[COOKIE] = live.come_to_gate(entry=entry, name="Ivy")
    pages = set()
    for address in addresses():
        path = address.path(ids_of(cast))
        if "token" in address.ids or {client.get(path).status_code for client in clients} - {302, 404, 405}:
            pages.add(address.name)
    visited = {visit.name for visit in VISITS}
    assert " ".join(sorted(pages - NO_PAGE.keys() - visited)) == ""
    assert " ".join(sorted(visited - ONLY_THEN.keys() - pages)) == ""
