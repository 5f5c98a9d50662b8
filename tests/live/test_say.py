"""Who listens to the page hears milestones, never each second: a whole evening in simulated time."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Page

from clubapp.live import sentences
from tests.live.browser import bare_page, run

FACE = """<section data-bell data-zone="Europe/London"><svg><rect data-face-ring></rect></svg>
<p data-face-word></p><div data-face-digits></div><p role="timer" data-face-time></p>
<p><span data-face-round></span><span data-face-left></span><span data-face-ends></span></p>
<p role="status" data-net></p><p aria-live="polite" data-say></p></section>"""
# The board itself, a quarter of a second at a time; whatever changes in a place that is read aloud is written down.
EVENING = """
const [html, words, segments] = given;
document.body.innerHTML = html;
document.documentElement.lang = "en";
const start = 31_000_000_000;
let now = start;
const sync = { serverNow: () => now, turn: 1, ready: true, wallOffset: 0, errorMs: 1 };
const board = new module.Board(document.querySelector("[data-bell]"), words, sync);
const first = { seq: 1, index: 0, since_ms: start, deadline_ms: start + segments[0][1] * 1000, left_ms: 0 };
const state = { ...first, phase: "running", segments, reason: "", thunder_ms: 0, rung: 0, undo_ms: 0 };
const said = [];
const places = [...document.querySelectorAll("[aria-live]:not([aria-live=off]), [role=status], [role=alert]")];
const heard = new MutationObserver((all) => {
  for (const one of all) said.push([(now - start) / 1000, one.target.textContent]);
});
for (const one of places) heard.observe(one, { childList: true, characterData: true, subtree: true });
const figures = new Set();
const whole = segments.reduce((sum, [, seconds]) => sum + seconds, 0);
for (; now <= start + (whole + 2) * 1000; now += 250) {
  board.show({ state, now_ms: now, version: 1 });
  figures.add(document.querySelector("[role=timer]").textContent);
  await null; // whoever observes is told between two steps
}
clearTimeout(board.next);
return { said, figures: figures.size, places: places.length, live: document.querySelector("[role=timer]").ariaLive };
"""


@pytest.fixture(scope="module")
def bare() -> Iterator[Page]:
    with bare_page() as found:
        yield found


def evening(page: Page, segments: list[tuple[str, int, int | None]]) -> dict[str, Any]:
    words = sentences.for_phones()
    found: dict[str, Any] = run(page, "board.js", EVENING, [FACE, words, [list(part) for part in segments]])
    return found


def test_only_milestones_are_spoken(bare: Page) -> None:
    found = evening(bare, [("work", 120, 1), ("change", 30, None), ("work", 120, 2), ("water", 20, None)])
    assert found["said"] == [
        [60, "half of the time is left"],
        [110, "ten seconds"],
        [120, "MOVE begins"],
        [140, "ten seconds"],
        [150, "WORK begins"],
        [210, "half of the time is left"],
        [260, "ten seconds"],
        [270, "WATER begins"],
        [280, "ten seconds"],
        [290, "All rounds are done"],
    ]
    assert found["figures"] >= 120, "the figures did not go on meanwhile"
    assert found["places"] == 2
    assert found["live"] in (None, "off"), "a timer is not read aloud by itself"


def test_a_short_walk_is_not_talked_over(bare: Page) -> None:
    """Ten seconds of ten are no milestone."""
    found = evening(bare, [("work", 60, 1), ("change", 10, None), ("work", 60, 2)])
    assert [text for at, text in found["said"] if 60 <= at < 70] == ["MOVE begins"]
