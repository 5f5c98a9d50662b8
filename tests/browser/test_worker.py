"""What the worker promises, against a server that answers late, half, elsewhere or not at all."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Worker, expect

from tests.browser.chromium import PHONE, comes_true, put_away
from tests.browser.stand_in import EMERGENCY, FAMILY, PLAN, REGISTER, Answer, StandIn

TEXT = """async ([shelf, path]) => {
    const copy = await (await caches.open(shelf)).match(path, { ignoreVary: true });
    return copy ? new DOMParser().parseFromString(await copy.text(), "text/html").querySelector("h1").textContent : "";
}"""
SAYS = f"async ([shelf, path, text]) => (await ({TEXT})([shelf, path])) === text"
PATHS = "async (shelf) => (await (await caches.open(shelf)).keys()).map(({ url }) => new URL(url).pathname).sort()"
TELL = """async (message) => {
    const { active } = await navigator.serviceWorker.ready;
    const { port1, port2 } = new MessageChannel();
    return new Promise((done) => { port1.onmessage = ({ data }) => done(data); active.postMessage(message, [port2]); });
}"""
# What is shown, written down until there are as many: the Chromium without windows shows nothing.
SHOWN = """(many) => { const rows = []; self.shown = new Promise((done) => {
    self.registration.showNotification = async (title, { body, data }) => {
        if (rows.push([body ?? "", data.path]) === many) done(rows); }; }); }"""
# The worker's long waits go when the story says so; `patience` answers with the length of the first one.
OWN_TIME = """() => {
    const waits = [];
    self.patience = new Promise((known) => {
        self.setTimeout = (call, ms, ...given) => { waits.push(() => call(...given)); known(ms); return 0; };
    });
    self.passes = () => waits.splice(0).forEach((call) => call());
}"""


class Phone:
    """A phone with our worker in charge; `cut` takes the network away from pages and worker."""

    def __init__(self, context: BrowserContext, stand: StandIn) -> None:
        self.context, self.stand = context, stand
        self.page: Page = context.new_page()
        self.page.goto("/")
        self.page.evaluate("navigator.serviceWorker.register('/sw.js', { updateViaCache: 'none' })")
        comes_true(self.page, "() => navigator.serviceWorker.controller !== null")

    @property
    def worker(self) -> Worker:
        return self.context.service_workers[-1]

    def copy(self, path: str, shelf: str = "fieldbell-pages") -> str:
        """What the kept page says; "" if none is."""
        return str(self.page.evaluate(TEXT, [shelf, path]))

    def kept(self, shelf: str = "fieldbell-pages") -> list[str]:
        return list(self.page.evaluate(PATHS, shelf))

    def until_kept(self, path: str, said: str) -> None:
        comes_true(self.page, SAYS, ["fieldbell-pages", path, said])

    def tell(self, **message: Any) -> str:
        return str(self.page.evaluate(TELL, message))

    def go(self, path: str) -> None:
        """Sets out and does not wait to arrive."""
        self.page.evaluate("(path) => { setTimeout(() => { location.href = path; }); }", path)

    def reads(self, said: str) -> None:
        expect(self.page.get_by_role("heading")).to_have_text(said)


@pytest.fixture
def stand() -> Iterator[StandIn]:
    with StandIn() as server:
        yield server


@pytest.fixture
def phone(browser: Browser, stand: StandIn) -> Iterator[Phone]:
    context = browser.new_context(viewport=PHONE, base_url=stand.home)
    yield Phone(context, stand)
    put_away(context)


def keep(phone: Phone, path: str, said: str) -> None:
    phone.stand.answers[path] = Answer(said)
    phone.page.goto(path)
    phone.until_kept(path, said)


# --- three seconds ----------------------------------------------------------------------------------------------------


def test_a_server_that_does_not_answer_gets_three_seconds_then_the_kept_page_is_shown(
    phone: Phone, stand: StandIn
) -> None:
    keep(phone, REGISTER, "as it was")
    phone.page.goto("/")
    let_go = threading.Event()
    stand.answers[REGISTER] = Answer("as it is", held=let_go)
    phone.worker.evaluate(OWN_TIME)
    phone.go(REGISTER)
    stand.waits_for(REGISTER, times=2)
    assert phone.worker.evaluate("() => self.patience") == 3000
    assert urlsplit(phone.page.url).path == "/"  # not before
    phone.worker.evaluate("() => self.passes()")
    phone.reads("as it was")
    let_go.set()
    phone.until_kept(REGISTER, "as it is")  # what came too late to be shown is there the next time


def test_a_server_in_time_is_believed_and_its_page_takes_the_place_of_the_kept_one(phone: Phone) -> None:
    keep(phone, REGISTER, "as it was")
    phone.page.goto("/")
    keep(phone, REGISTER, "as it is")
    phone.reads("as it is")


def test_where_nothing_is_kept_the_late_page_is_waited_for(phone: Phone, stand: StandIn) -> None:
    let_go = threading.Event()
    stand.answers[PLAN] = Answer("late", held=let_go)
    phone.worker.evaluate(OWN_TIME)
    phone.go(PLAN)
    stand.waits_for(PLAN)
    assert phone.worker.evaluate("() => self.patience") == 3000
    phone.worker.evaluate("() => self.passes()")
    let_go.set()
    phone.reads("late")


def test_a_page_off_the_list_is_waited_for_without_a_limit(phone: Phone, stand: StandIn) -> None:
    let_go = threading.Event()
    stand.answers["/people/athletes/"] = Answer("the list", held=let_go)
    phone.worker.evaluate(OWN_TIME)
    phone.go("/people/athletes/")
    stand.waits_for("/people/athletes/")
    assert phone.worker.evaluate("() => Promise.race([self.patience, Promise.resolve('no limit')])") == "no limit"
    let_go.set()
    phone.reads("the list")


@pytest.mark.parametrize("status", [500, 502, 503])
def test_a_server_in_trouble_hides_no_kept_page_and_takes_none_away(phone: Phone, stand: StandIn, status: int) -> None:
    keep(phone, REGISTER, "as it was")
    stand.answers[REGISTER] = stand.answers[PLAN] = Answer("trouble", status=status)
    phone.page.goto(REGISTER)
    phone.reads("as it was")
    phone.page.goto(PLAN)
    phone.reads("trouble")  # nothing better is kept
    assert phone.kept() == [REGISTER]


def test_an_erased_child_is_gone_from_kept_pages_with_the_next_contact(phone: Phone, stand: StandIn) -> None:
    """Whatever page that is. What is not there any more goes, and so do numbers to ring: nobody asked for them anew."""
    for path, shelf in ((REGISTER, "fieldbell-pages"), (FAMILY, "fieldbell-family"), (EMERGENCY, "fieldbell-pages")):
        stand.answers[path] = Answer("with Quillon", headers={"X-Erased": "one"})
        assert phone.tell(type="ask", path=path) == "done"
        assert phone.copy(path, shelf) == "with Quillon"
    stand.answers["/"] = Answer("home", until_s=0, headers={"X-Erased": "one"})
    phone.page.goto("/")
    stand.answers[REGISTER] = Answer("without", headers={"X-Erased": "two"})
    stand.answers[FAMILY] = Answer("nobody", status=404)
    stand.answers["/"] = Answer("home", until_s=0, headers={"X-Erased": "two"})
    asked = stand.asked.count(REGISTER)
    phone.page.goto("/")
    comes_true(phone.page, f"async (shelf) => (await ({PATHS})(shelf)).length === 0", "fieldbell-family")
    phone.until_kept(REGISTER, "without")
    assert phone.kept() == [REGISTER]
    assert stand.asked.count(REGISTER) == asked + 1
    assert stand.asked.count(EMERGENCY) == 1


# --- what is never kept -----------------------------------------------------------------------------------------------

NEVER = {
    "elsewhere": Answer("", status=302, headers={"Location": "/people/sign-in/"}),
    "half of it": Answer("half", part=0.5),
    "a part": Answer("part", status=206, headers={"Content-Range": "bytes 0-9/1000"}),
    "refused": Answer("no", status=403),
    "not there": Answer("gone", status=404),
    "broken": Answer("broken", status=500),
    "not said until when": Answer("for ever", until_s=0),
    "no page": Answer("a,b", kind="text/csv"),
}
TAKES_AWAY = ("elsewhere", "refused", "not there")  # it is not this adult's any more


@pytest.mark.parametrize("what", NEVER)
def test_only_a_whole_page_as_asked_for_is_kept(phone: Phone, stand: StandIn, what: str) -> None:
    stand.answers[REGISTER] = NEVER[what]
    told = phone.tell(type="keep", path=REGISTER)
    assert told == ("failed" if what == "half of it" else "done")
    assert phone.kept() == []
    keep(phone, REGISTER, "whole")
    stand.answers[REGISTER] = NEVER[what]
    phone.tell(type="keep", path=REGISTER)
    assert phone.copy(REGISTER) == ("" if what in TAKES_AWAY else "whole")


def test_a_page_that_breaks_off_on_the_way_to_the_screen_leaves_the_kept_one(phone: Phone, stand: StandIn) -> None:
    keep(phone, REGISTER, "whole")
    stand.answers[REGISTER] = Answer("half", part=0.9)
    phone.page.goto("/")
    phone.go(REGISTER)
    stand.waits_for(REGISTER, times=2)
    phone.page.wait_for_url(f"**{REGISTER}", wait_until="commit")  # it never ends
    phone.page.goto("/")
    stand.answers[REGISTER] = Answer("trouble", status=502)
    phone.page.goto(REGISTER)
    phone.reads("whole")


@pytest.mark.parametrize(
    "path",
    ["/", "/people/athletes/", f"{REGISTER}news/", f"{PLAN}x/", "/register/1/", f"{REGISTER}?q=ada", "/familyx/"],
)
def test_an_address_off_the_list_is_never_kept(phone: Phone, stand: StandIn, path: str) -> None:
    """Even where a server says that it may be."""
    stand.answers[path.split("?")[0]] = Answer("off the list")
    phone.page.goto(path)
    phone.tell(type="keep", path=path)
    phone.tell(type="ask", path=path)
    keep(phone, PLAN, "on the list")  # by then the worker is through with the one before
    assert phone.kept() == [PLAN]
    assert phone.kept("fieldbell-family") == []


@pytest.mark.parametrize(("path", "shelf"), [(EMERGENCY, "fieldbell-pages"), (FAMILY, "fieldbell-family")])
def test_what_is_kept_at_a_wish_alone_comes_with_it_is_renewed_and_goes_with_it(
    phone: Phone, stand: StandIn, path: str, shelf: str
) -> None:
    stand.answers[path] = Answer("one")
    phone.page.goto(path)
    phone.tell(type="keep", path=path)
    assert phone.copy(path, shelf) == ""
    phone.tell(type="ask", path=path)
    assert phone.copy(path, shelf) == "one"
    stand.answers[path] = Answer("two")
    phone.page.goto(path)
    comes_true(phone.page, SAYS, [shelf, path, "two"])
    phone.tell(type="drop", path=path)
    assert phone.copy(path, shelf) == ""
    phone.page.goto(path)
    phone.tell(type="keep", path=path)
    assert phone.copy(path, shelf) == ""


def test_a_session_s_end_leaves_a_guardian_s_page_and_signing_out_does_not(phone: Phone, stand: StandIn) -> None:
    stand.answers[FAMILY] = Answer("Ada")
    phone.tell(type="ask", path=FAMILY)
    keep(phone, REGISTER, "names")
    phone.tell(type="purge", all=False)
    assert (phone.kept(), phone.kept("fieldbell-family")) == ([], [FAMILY])
    phone.tell(type="purge", all=True)
    assert phone.kept("fieldbell-family") == []


def test_two_weeks_without_contact_take_a_guardian_s_page_away(phone: Phone, stand: StandIn) -> None:
    stand.answers[FAMILY] = Answer("Ada", until_s=14 * 86400)
    phone.tell(type="ask", path=FAMILY)
    phone.context.set_offline(True)
    phone.worker.evaluate("() => { const now = Date.now; Date.now = () => now() + 14 * 86400_000 - 60_000; }")
    phone.page.goto(FAMILY)
    phone.reads("Ada")
    phone.worker.evaluate("() => { const now = Date.now; Date.now = () => now() + 61_000; }")
    phone.page.goto(FAMILY)
    phone.reads("No network")
    assert phone.kept("fieldbell-family") == []


def test_what_was_asked_for_before_a_phone_was_emptied_is_not_kept_after_it(phone: Phone, stand: StandIn) -> None:
    """Signing out while a page is on its way would leave its names behind."""
    let_go = threading.Event()
    stand.answers[REGISTER] = Answer("names", held=let_go)
    phone.page.evaluate(f"path => {{ window.late = ({TELL})({{ type: 'keep', path }}); }}", REGISTER)
    stand.waits_for(REGISTER)
    phone.tell(type="purge", all=True)
    let_go.set()
    assert phone.page.evaluate("window.late") == "done"
    assert phone.kept() == []


# --- files ------------------------------------------------------------------------------------------------------------


def test_a_hashed_file_comes_from_the_phone_and_no_other_is_kept(phone: Phone, stand: StandIn) -> None:
    hashed, plain, moved = "/static/b.abcdefabcdef.css", "/static/b.css", "/static/c.abcdefabcdef.css"
    stand.answers[moved] = Answer("", status=302, kind="text/css", headers={"Location": plain})
    for path in (hashed, hashed, plain, plain, moved, moved):
        phone.page.evaluate("path => fetch(path).then(answer => answer.text())", path)
    assert stand.asked.count(hashed) == 1
    assert stand.asked.count(moved) == 2
    assert stand.asked.count(plain) == 4
    known = phone.page.evaluate(PATHS, "fieldbell-files-one")
    assert known == ["/offline/", hashed, *stand.files] or known == ["/offline/", *stand.files, hashed]


# --- a new version ----------------------------------------------------------------------------------------------------

WAITING = "() => navigator.serviceWorker.getRegistration().then(one => Boolean(one.waiting))"
FILES = "async () => (await caches.keys()).filter(name => name.startsWith('fieldbell-files-')).sort()"


def new_version(phone: Phone) -> None:
    """It is there and waits."""
    phone.stand.version, phone.stand.files = "two", ["/static/a.fedcba987654.css"]
    phone.page.evaluate("navigator.serviceWorker.getRegistration().then(one => one.update())")
    comes_true(phone.page, WAITING)


def take_over(phone: Phone) -> None:
    phone.page.evaluate("""async () => {
        const one = await navigator.serviceWorker.getRegistration();
        const changed = new Promise(done => navigator.serviceWorker.addEventListener('controllerchange', done));
        one.waiting.postMessage({ type: 'skip' });
        await changed;
    }""")


def test_a_new_version_waits_and_touches_nothing_until_it_is_told(phone: Phone, stand: StandIn) -> None:
    keep(phone, REGISTER, "one")
    other = phone.context.new_page()  # a second page, as a running bell would be
    other.goto(PLAN)
    other.evaluate("window.same = true")
    new_version(phone)
    for _look in range(3):
        phone.page.goto(REGISTER)
        assert phone.page.evaluate(WAITING)
    assert phone.copy(REGISTER) == "one"
    assert phone.page.evaluate("fetch('/static/a.0123456789ab.css').then(one => one.status)") == 200
    assert stand.asked.count("/static/a.0123456789ab.css") == 1
    take_over(phone)
    assert other.evaluate("window.same")  # nobody's page was loaded anew
    assert not phone.page.evaluate(WAITING)


def test_a_new_version_without_a_network_has_what_the_old_one_had(phone: Phone, stand: StandIn) -> None:
    """It may take over by itself on the field, when the phone had been put away."""
    stand.answers[FAMILY] = Answer("Ada")
    phone.tell(type="ask", path=FAMILY)
    keep(phone, REGISTER, "one")
    new_version(phone)
    phone.context.set_offline(True)
    take_over(phone)
    for path, said in ((REGISTER, "one"), (FAMILY, "Ada")):
        phone.page.goto(path)
        phone.reads(said)
    assert phone.page.evaluate("fetch('/static/a.0123456789ab.css').then(one => one.status)") == 200
    assert phone.page.evaluate(FILES) == ["fieldbell-files-one", "fieldbell-files-two"]
    stand.answers[REGISTER], stand.answers[FAMILY] = Answer("two"), Answer("Ada, two")
    phone.context.set_offline(False)
    phone.page.goto("/")
    comes_true(phone.page, f"async () => (await ({FILES})()).join() === 'fieldbell-files-two'")
    assert (phone.copy(REGISTER), phone.copy(FAMILY, "fieldbell-family")) == ("two", "Ada, two")


def test_numbers_to_ring_are_not_looked_at_to_renew_them(phone: Phone, stand: StandIn) -> None:
    stand.answers[EMERGENCY] = Answer("numbers")
    phone.tell(type="ask", path=EMERGENCY)
    keep(phone, REGISTER, "one")
    looks = stand.asked.count(EMERGENCY)
    new_version(phone)
    take_over(phone)
    stand.answers[REGISTER] = Answer("two")
    phone.page.goto("/")
    phone.until_kept(REGISTER, "two")
    assert stand.asked.count(EMERGENCY) == looks
    assert phone.copy(EMERGENCY) == "numbers"
    assert phone.page.evaluate(FILES) == ["fieldbell-files-one", "fieldbell-files-two"]


# --- notices ----------------------------------------------------------------------------------------------------------


def test_a_notice_is_shown_whatever_it_holds_and_leads_to_no_other_house(phone: Phone, stand: StandIn) -> None:
    """A notice that cannot be read is shown too: a browser takes the leave away from one that shows none."""
    phone.context.grant_permissions(["notifications"], origin=stand.home)
    line = phone.context.new_cdp_session(phone.page)
    known: list[str] = []
    line.on(
        "ServiceWorker.workerRegistrationUpdated",
        lambda told: known.extend(r["registrationId"] for r in told["registrations"]),
    )
    line.send("ServiceWorker.enable")
    while not known:  # what the browser tells comes in with the next answer
        phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    notice = {"title": "Fieldbell", "body": "Something to read.", "tag": "message"}
    phone.worker.evaluate(SHOWN, 3)
    messages = (
        json.dumps({"web_push": 8030, "notification": {**notice, "navigate": "/family/"}}),
        json.dumps({"notification": {**notice, "tag": "away", "navigate": "https://bad.example/family/"}}),
        "no json",
    )
    for data in messages:
        told = {"origin": stand.home, "registrationId": known[0], "data": data}
        line.send("ServiceWorker.deliverPushMessage", told)
    assert sorted(phone.worker.evaluate("() => self.shown")) == [
        ["", "/"],
        ["Something to read.", "/"],
        ["Something to read.", "/family/"],
    ]


# --- again and again --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("tries", [20])
def test_a_page_just_kept_is_there_when_the_network_goes(phone: Phone, tries: int) -> None:
    for number in range(tries):
        keep(phone, REGISTER, f"turn {number}")
        phone.context.set_offline(True)
        phone.page.reload()
        phone.reads(f"turn {number}")
        phone.context.set_offline(False)
