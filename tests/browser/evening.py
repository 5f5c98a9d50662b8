"""An evening as adults tap it, screen by screen: the head coach, an assistant's phone and a guardian."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import datetime

from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.chromium import Watch, phone, put_away
from tests.browser.clocks import shifted

PASSWORD = "four grey herons wade"
NAMES = (
    "Ada",
    "Bo",
    "Cleo",
    "Dev",
    "Eli",
    "Fay",
    "Gil",
    "Hana",
    "Ivo",
    "June",
    "Kit",
    "Lars",
    "Mila",
    "Ned",
    "Olive",
    "Pia",
    "Quinn",
    "Rafi",
    "Suki",
    "Tom",
    "Una",
    "Vik",
    "Wren",
    "Yara",
)
FAMILIES = ("Reed", "Weir", "Sedge", "Otter", "Ford", "Alder")


def roster() -> str:
    """Twenty-four children of 7 to 14, as a club secretary's spreadsheet saves them."""
    rows = ["id;given_name;family_name;date_of_birth;sex;skill;speed_s"]
    for number, name in enumerate(NAMES):
        born = f"{2012 + number % 7}-{1 + number % 12:02}-{1 + (number * 7) % 28:02}"
        family = FAMILIES[number % len(FAMILIES)]
        speed_s = f"{6.3 + number % 7 * 0.4:.2f}"
        rows.append(f"r{number:02};{name};{family};{born};{'fm'[number % 2]};{1 + number % 5};{speed_s}")
    return "\r\n".join(rows)


@dataclass
class Evening:
    """Everybody's browsers on one server."""

    browser: Browser
    watch: Watch
    contexts: list[BrowserContext] = field(default_factory=list)

    def phone(self, minutes_wrong: int = 0) -> Page:
        context, page = phone(self.browser, self.watch, script=shifted(minutes_wrong) if minutes_wrong else "")
        self.contexts.append(context)
        return page

    def close(self) -> None:
        for context in self.contexts:
            put_away(context)


def unlock(page: Page) -> None:
    """Ten seconds after the last touch the bell's buttons lock; one long press opens them.

    A page that moves under the finger ends the press, as on a phone: then it is pressed once more.
    """
    opener = page.get_by_role("button", name="Hold to open")
    for _ in range(5):
        if opener.is_visible():
            opener.hover()
            page.mouse.down()
            expect(page.locator("[data-open][data-holding]")).to_have_count(0)
            page.mouse.up()
    expect(opener).to_be_hidden()


def tap(page: Page, name: str, *, exact: bool = True) -> None:
    """Tap the one button or link with this name."""
    unlock(page)
    page.get_by_role("button", name=name, exact=exact).or_(page.get_by_role("link", name=name, exact=exact)).tap()


# --- before the evening -----------------------------------------------------------------------------------------------


def make_club(page: Page, link: str) -> None:
    page.goto(link)
    page.get_by_label("Name of the club").fill("Alder Bank")
    page.get_by_label("First squad").fill("Saturday squad")
    page.get_by_label("Your name").fill("Hazel")
    page.get_by_label("Your e-mail").fill("hazel@alder.example")
    page.get_by_label("A password").fill(PASSWORD)
    tap(page, "Make the club")
    expect(page.get_by_role("heading", level=1)).to_be_visible()


def bring_in_roster(page: Page) -> None:
    page.goto("/people/roster/")
    page.get_by_label("A file").set_input_files(
        {"name": "roster.csv", "mimeType": "text/csv", "buffer": roster().encode("utf-8-sig")}
    )
    tap(page, "Read the list")
    tap(page, "Show what would happen")
    expect(page.locator("dl.figures")).to_contain_text("24")
    tap(page, "Take it all over")
    expect(page.get_by_text("Taken over: 24 new")).to_be_visible()
    tap(page, "See the squad list")
    for name in ("Ada Reed", "Yara Alder"):
        expect(page.get_by_role("link", name=name).first).to_be_visible()


def one_time_link(page: Page) -> str:
    """The address shown to the coach, once."""
    return page.get_by_label("Send this").input_value()


def ask_in_guardian(page: Page, child: str) -> str:
    page.goto("/people/athletes/")
    page.get_by_role("link", name=child).first.tap()
    tap(page, "Add an adult")
    page.get_by_label("Name", exact=True).fill("Greta")
    page.get_by_label("Phone").fill("+44 7700 900123")
    page.get_by_label("May collect the child").check()
    tap(page, "Add the adult")
    tap(page, "Link for Greta")
    return one_time_link(page)


def ask_in_assistant(page: Page) -> str:
    page.goto("/people/members/")
    page.get_by_label(re.compile("Saturday squad")).check()
    tap(page, "Ask in")
    return one_time_link(page)


def join(page: Page, link: str, name: str) -> None:
    page.goto(link)
    page.get_by_label("Your name").fill(name)
    page.get_by_label("Your e-mail").fill(f"{name.lower()}@alder.example")
    page.get_by_label("A password").fill(PASSWORD)
    tap(page, "Join")
    expect(page.get_by_role("button", name="Sign out")).to_be_visible()


def plan_session(page: Page, now: datetime) -> None:
    """A session that starts now; everything else as it comes."""
    page.goto("/sessions/")
    tap(page, "New session")
    page.get_by_label("Date").fill(f"{now:%Y-%m-%d}")
    page.get_by_label("Starts at").fill(f"{now:%H:%M}")
    tap(page, "Make this session")
    expect(page.get_by_role("link", name="Take the register")).to_be_visible()


# --- the evening ------------------------------------------------------------------------------------------------------


def take_register(page: Page, absent: set[str]) -> None:
    """Tap every child who came; then say that the rest did not."""
    tap(page, "Take the register")
    for name in NAMES:
        if name not in absent:
            page.get_by_role("button", name=re.compile(f"^{name} .*mark here")).tap()
            expect(page.get_by_role("button", name=re.compile(f"^Undo {name} "))).to_be_visible()
    tap(page, "The rest are not here")
    expect(page.get_by_role("button", name="Undo “the rest are not here”")).to_be_visible()
    tap(page, "Finish register")


def make_groups(page: Page) -> None:
    tap(page, "Make groups")
    expect(page.get_by_role("button", name="Open the bell")).to_be_visible()


def open_bell(page: Page) -> None:
    tap(page, "Open the bell")
    expect(page.locator("html")).to_have_attribute("data-bell-ready", "yes")


def follow_bell(page: Page) -> None:
    """An assistant's way from the start page."""
    page.goto("/")
    tap(page, "Open the bell")
    expect(page.locator("html")).to_have_attribute("data-bell-ready", "yes")


def expect_phase(phase: str, *pages: Page) -> None:
    for page in pages:
        expect(page.locator("[data-bell]")).to_have_attribute("data-phase", phase)


def expect_network(there: bool, *pages: Page) -> None:
    """Whether the phone says that it has lost the club's server."""
    for page in pages:
        said = expect(page.locator("[data-net]"))
        (said.to_be_empty if there else said.not_to_be_empty)(timeout=40_000)


def attendance(page: Page, child: str) -> str:
    """What a guardian reads of today."""
    page.goto("/")
    page.get_by_role("link", name=child, exact=True).tap()
    return page.get_by_role("region").or_(page.locator("section")).filter(has_text="In the register").inner_text()
