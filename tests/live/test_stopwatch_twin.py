"""The stop-watch's script rounds and combines as the engine does, in a real browser."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.live.browser import bare_page, run

VECTORS = json.loads((Path(__file__).parents[1] / "vectors/handtime.json").read_text())
HANDTIME = "stopwatch/handtime.js"


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    with bare_page() as found:
        yield found


@pytest.mark.parametrize("what", ["rounded", "combined", "text"])
def test_hand_times(page: Page, what: str) -> None:
    cases = VECTORS[what]
    found = run(page, HANDTIME, f"return given.map((case_) => module.{what}(...case_));", [case[:-1] for case in cases])
    assert found == [case[-1] for case in cases]
