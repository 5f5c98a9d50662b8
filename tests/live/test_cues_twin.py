"""The caller's script draws what the engine draws, to the last millisecond, in a real browser."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from random import Random

import pytest
from playwright.sync_api import Page

from clubapp.engine.cues import Problem, solve
from tests.live.browser import bare_page, run

VECTORS = json.loads((Path(__file__).parents[1] / "vectors/cues.json").read_text())
SOLVE = "return given.map(([problem, seed]) => module.solve(problem, seed));"


@pytest.fixture(scope="module")
def page() -> Iterator[Page]:
    with bare_page() as found:
        yield found


def test_numbers_by_lot(page: Page) -> None:
    body = (
        "return given.map(([seed, many]) => { const lot = module.Lot.of(seed); return many.map(() => lot.number()); });"
    )
    rows = VECTORS["numbers"]
    assert run(page, "cues.js", body, [[row["seed"], row["numbers"]] for row in rows]) == [
        row["numbers"] for row in rows
    ]
    body = "const lot = new module.Lot(given.first); return given.numbers.map(() => lot.number());"
    assert run(page, "cues.js", body, VECTORS["state"]) == VECTORS["state"]["numbers"]


def test_the_vectors(page: Page) -> None:
    cases = VECTORS["cases"]
    found = run(page, "cues.js", SOLVE, [[case["problem"], case["seed"]] for case in cases])
    for case, cues in zip(cases, found, strict=True):
        assert cues == case["cues"], case["name"]


def test_whatever_is_asked(page: Page) -> None:
    """Problems no vector holds: the engine's own answer is the measure."""
    lot = Random(8)
    asked = []
    for _case in range(60):
        least, tau = lot.randint(0, 4000), lot.randint(200, 3000)
        problem = Problem(
            words=tuple("abcdefgh"[: lot.randint(1, 8)]),
            count=lot.randint(1, 60),
            least_ms=least,
            most_ms=least + tau + lot.randint(0, 6000),
            tau_ms=tau,
            pause_ms=lot.randint(0, 5000),
            catch_percent=lot.randint(0, 50),
            most_alike=lot.randint(1, 3),
        )
        asked.append((problem, lot.randrange(2**32)))
    found = run(page, "cues.js", SOLVE, [[asdict(problem), seed] for problem, seed in asked])
    for (problem, seed), cues in zip(asked, found, strict=True):
        assert cues == [[cue.wait_ms, cue.at_ms, cue.word] for cue in solve(problem, seed=seed).cues]
