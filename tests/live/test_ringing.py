"""When something rings, and for whom: the same here and on the phones, a function of stored instants and the clock."""

from __future__ import annotations

import json
import random
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.live.ringing import AWAY_MS, PATIENCE_MS, Level, Ringing, What, level
from tests.live.browser import bare_page, run

CASES: list[dict[str, Any]] = json.loads((Path(__file__).parents[1] / "vectors/alarms.json").read_text())["cases"]
AT = 1_790_000_000_000
LEVELS = "return given.map(([row, now, round]) => module.level(row, now, round));"


def row_of(case: dict[str, Any]) -> Ringing:
    what, received, round_no, heard, heard_round = case["row"]
    heard_ms = None if heard is None else AT + heard * 1000
    return Ringing(What(what), AT, AT + received * 1000, round_no, heard_ms, heard_round)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_the_level_at_an_instant(case: dict[str, Any]) -> None:
    assert level(row_of(case), AT + int(case["now"] * 1000), case["round"]) == case["level"]


def test_the_phones_reckon_the_same() -> None:
    """The cases above, and a thousand drawn by lot."""
    lot = random.Random(11)
    drawn = [(drawn_row(lot), AT + lot.randrange(-5000, 900_000), lot.choice((None, 1, 2, 3, 4))) for _ in range(1000)]
    given_rows = [*((row_of(case), AT + int(case["now"] * 1000), case["round"]) for case in CASES), *drawn]
    with bare_page() as page:
        found = run(page, "levels.js", LEVELS, [[asdict(row), now, round_no] for row, now, round_no in given_rows])
    expected = [level(*row) for row in given_rows]
    assert found == expected
    assert set(expected) == set(Level)


def drawn_row(lot: random.Random) -> Ringing:
    heard = lot.choice((None, AT + lot.randrange(600_000)))
    return Ringing(
        lot.choice(list(What)),
        AT,
        AT + lot.randrange(300_000),
        lot.choice((None, 1, 2, 3)),
        heard,
        lot.choice((None, 1, 2, 3)) if heard else None,
    )


@given(st.sampled_from(What), st.integers(0, 600_000), st.integers(0, 4_000_000))
def test_what_nobody_heard_never_falls_silent(what: What, received: int, later: int) -> None:
    """Once it rings for everybody it goes on doing so."""
    row = Ringing(what, AT, AT + received, 2)
    loud = AT + max(received, AWAY_MS) + PATIENCE_MS
    assert level(row, loud + later, 2) == Level.ALL
