"""Every page in every state: nothing scrolls sideways, targets fit a finger, the bell is legible; axe finds nothing."""

from __future__ import annotations

import asyncio
import json
import os
import select
from collections.abc import Sequence
from pathlib import Path

import axe_playwright_python
import pytest

from clubapp.desk.chromium import Tab, browsing
from clubapp.desk.screens.looks import LOOKS
from clubapp.desk.screens.scene import Scene
from clubapp.desk.screens.scenes import SCENES
from clubapp.desk.screens.shoot import Seen, shoot
from tests.browser.chromium import find_chromium

AXE = Path(axe_playwright_python.__file__).with_name("axe.min.js")
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
RUN = f"axe.run(document, {{ runOnly: {{ type: 'tag', values: {json.dumps(TAGS)} }} }})"
# The states that differ most, on the phone that is smallest and with the largest letters.
FEW = (
    "sign-in-wrong",
    "register-waiting",
    "register-over",
    "bell-work-station",
    "bell-stop-leader",
    "bell-ended-leader",
)
FEW_LOOKS = ("large",)  # what fits in letters twice as large fits


async def axe(tab: Tab) -> list[str]:
    """What axe finds, with the element. Under a bar at the thumb a control is only out of the way until one scrolls."""
    await tab.run("document.querySelectorAll('.thumb').forEach((one) => { one.style.position = 'static'; })")
    if not await tab.run("Boolean(window.axe)"):
        await tab.run(f"{AXE.read_text()}\ntrue")
    told = await tab.run(RUN)
    await tab.run("document.querySelectorAll('.thumb').forEach((one) => { one.style.position = ''; })")
    return [f"{row['id']}: {node['html'][:160]}" for row in told["violations"] for node in row["nodes"]]


def remarks(seen: list[Seen]) -> list[str]:
    return [f"{one.scene.name} {one.look.name}: {what}" for one in seen for what in one.wrong]


def test_pages_are_sound_in_the_states_that_differ_most(tmp_path: Path) -> None:
    every_scene_is_sound([scene for scene in SCENES if scene.name in FEW], FEW_LOOKS, tmp_path)


@pytest.mark.long  # a quarter of an hour a look
@pytest.mark.parametrize("look", LOOKS)
def test_every_page_is_sound_in_every_state(look: str, tmp_path: Path) -> None:
    every_scene_is_sound(SCENES, (look,), tmp_path)


def every_scene_is_sound(scenes: Sequence[Scene], names: tuple[str, ...], folder: Path) -> None:
    seen = asyncio.run(shoot(find_chromium(), scenes, tuple(LOOKS[name] for name in names), folder, axe))
    assert remarks(seen) == []
    assert len(seen) == len(scenes) * len(names)
    assert len(list(folder.glob("*/*.png"))) == len(seen)


SPOIL = """const sheet = new CSSStyleSheet();
sheet.replaceSync("main p { width: 200vw } button { min-block-size: 0; block-size: 9px }" +
  ".word { color: #8a8a80 } svg.ring { background: navy }");
document.addEventListener("DOMContentLoaded", () => { document.adoptedStyleSheets = [sheet]; });"""


@pytest.mark.long
def test_what_is_wide_small_faint_or_covered_would_be_found() -> None:
    bell = next(scene for scene in SCENES if scene.name == "bell-work-station")
    spoilt = Scene(bell.name, bell.who, bell.path, bell.evening, SPOIL, acts=bell.acts, until=bell.until)
    seen = asyncio.run(shoot(find_chromium(), [spoilt], (LOOKS["small"],)))
    found = " ".join(seen[0].wrong)
    for what in ("scrolls sideways", "small", "faint", "covers the page: ring"):
        assert what in found


def test_no_browser_is_left_behind() -> None:
    async def opened() -> list[int]:
        async with browsing(find_chromium()) as browser:
            told = await browser.ask("SystemInfo.getProcessInfo")
            return [os.pidfd_open(one["id"]) for one in told["processInfo"] if one["type"] == "browser"]

    ends = asyncio.run(opened())
    assert len(ends) == 1
    assert select.select(ends, [], [], 20)[0] == ends  # what can be read here has ended


@pytest.mark.parametrize("name", sorted({scene.name for scene in SCENES}))
def test_a_scene_has_a_name_of_its_own(name: str) -> None:
    assert [scene.name for scene in SCENES].count(name) == 1
