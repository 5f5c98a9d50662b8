"""The phones' script computes what the engine computes, in a real browser."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from clubapp.engine import clock
from clubapp.engine.clock import Command, Kind, Schedule, Segment
from clubapp.live.messages import plain_state
from tests.live.browser import bare_page, run

VECTORS = json.loads((Path(__file__).parents[1] / "vectors/clock.json").read_text())
VIEWS = "return given.map(([state, now]) => module.view(state, now));"
NOON = 1_790_000_000_000


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    with bare_page() as found:
        yield found


def test_views(page: Page) -> None:
    cases = VECTORS["views"]
    states = {name: {**state, "segments": VECTORS["segments"]} for name, state in VECTORS["states"].items()}
    found = run(page, "clock.js", VIEWS, [[states[case["state"]], case["now_ms"]] for case in cases])
    for case, view in zip(cases, found, strict=True):
        assert {name: view[name] for name in case["view"]} == case["view"], case["name"]


def test_offsets(page: Page) -> None:
    found = run(page, "clock.js", "return given.map(module.offset);", [case["samples"] for case in VECTORS["offsets"]])
    for case, answer in zip(VECTORS["offsets"], found, strict=True):
        if case["offset"] is None:
            assert answer is None
        else:
            assert [answer["offset_ms"], answer["error_ms"]] == pytest.approx(case["offset"], abs=1e-6)


def test_enough_and_digits(page: Page) -> None:
    cases = VECTORS["enough"]
    found = run(page, "clock.js", "return given.map(([n, ms]) => module.enough(n, ms));", cases)
    assert found == [answer for *_given, answer in cases]
    shown = run(page, "clock.js", "return given.map(module.digits);", [left for left, _text in VECTORS["digits"]])
    assert shown == [text for _left, text in VECTORS["digits"]]


def evenings(count: int, seed: int) -> Iterator[tuple[clock.State, int]]:
    """Logs drawn by lot, each looked at once somewhere around its end."""
    lot = random.Random(seed)
    kinds = ("gather", "work", "change", "water", "game")
    for _evening in range(count):
        parts = tuple(
            Segment(lot.choice(kinds), lot.choice((0, 5, 45, 300)), lot.choice((None, 1, 2)))
            for _part in range(lot.randrange(7))
        )
        state, now = clock.waiting(Schedule(parts)), NOON
        for seq in range(1, lot.randrange(1, 12)):
            kind = Kind.START if seq == 1 and lot.random() < 0.9 else lot.choice(list(Kind))
            command = Command(kind, seq, state.seq, now, seconds=lot.randrange(-60, 61))
            state = clock.step(state, command, now).state
            now += lot.randrange(120_000)
        yield state, now + lot.randrange(-60_000, 1_200_000)


def test_a_thousand_evenings_drawn_by_lot(page: Page) -> None:
    cases = list(evenings(1000, seed=7))
    found = run(page, "clock.js", VIEWS, [[plain_state(state), now] for state, now in cases])
    expected: list[dict[str, Any]] = [asdict(clock.view(state, now)) for state, now in cases]
    assert found == expected
    assert {view["phase"] for view in expected} == {"waiting", "running", "paused", "stopped", "ended"}
    assert any(view["kind"] == "over" for view in expected)
