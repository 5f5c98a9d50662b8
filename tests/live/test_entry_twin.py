"""What is typed is read by the phone's script as by the server, in a real browser."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.live.browser import bare_page, run

CASES = json.loads((Path(__file__).parents[1] / "vectors/measures.json").read_text())["parse"]
NOW = {
    "about": "20 yd",
    "least": 2_000,
    "most": 9_000,
    "range": ["2", "9"],
    "spans": {"ada": [4_500, 6_500, "5.1", "5.9"]},
}


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    with bare_page() as found:
        yield found


def test_what_was_typed(page: Page) -> None:
    body = (
        "return given.map(([text, unit]) => module.parse(text, unit)).map((one) => (Number.isNaN(one) ? 'no' : one));"
    )
    assert run(page, "entry/measure.js", body, CASES) == [case[-1] for case in CASES]


@pytest.mark.parametrize(
    ("value", "child", "asked"),
    [
        (5_600, "ada", None),
        (1_840, "ada", ["typical", "20 yd", "5.1", "5.9"]),
        (6_600, "ada", ["typical", "20 yd", "5.1", "5.9"]),
        (6_600, "bo", None),
        (1_840, "bo", ["range", "20 yd", "2", "9"]),
    ],
)
def test_what_is_asked(page: Page, value: int, child: str, asked: Any) -> None:
    assert run(page, "entry/measure.js", "return module.doubt(...given);", [value, child, NOW]) == asked
