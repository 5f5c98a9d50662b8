"""A search tells what it has reached, and ends when whoever watches has had enough."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, timedelta

import pytest

from clubapp.engine import groups
from clubapp.engine.limits import DEFAULT, Progress
from clubapp.engine.outcome import Status
from clubapp.engine.words import Athlete

ON = date(2026, 11, 21)


def squad(children: int, seed: int = 1) -> tuple[Athlete, ...]:
    lot = random.Random(seed)
    return tuple(
        Athlete(
            f"c{number:02}",
            {"speed_s": round(lot.gauss(7, 1), 2), "skill": float(lot.randint(1, 5))},
            born=ON - timedelta(days=lot.randint(2600, 5400)),
        )
        for number in range(children)
    )


class Watcher:
    """Keeps what it was told, and has had enough after so many times."""

    def __init__(self, patience: int = 10**9) -> None:
        self.told: list[tuple[float, float]] = []
        self.patience = patience

    def __call__(self, score: float, bound: float) -> bool:
        self.told.append((score, bound))
        return len(self.told) < self.patience


def watched(problem: groups.Problem, watcher: Watcher) -> groups.Outcome[groups.Answer]:
    return groups.solve(problem, limit=replace(DEFAULT, progress=Progress(watcher)), seed=1)


@pytest.mark.parametrize("mode", list(groups.Mode))
@pytest.mark.parametrize(("children", "count"), [(16, 4), (24, 6)])
def test_what_is_told_comes_closer_and_never_contradicts_the_outcome(
    mode: groups.Mode, children: int, count: int
) -> None:
    fastest_first = sorted(squad(children), key=lambda child: child.values["speed_s"])
    first_and_last = frozenset({fastest_first[0].id, fastest_first[-1].id})
    # Without a rule the best bands are known at once.
    problem, watcher = groups.Problem(squad(children), ON, count, mode=mode, together=(first_and_last,)), Watcher()
    outcome = watched(problem, watcher)
    scores, bounds = zip(*watcher.told, strict=True)
    assert list(scores) == sorted(scores, reverse=True)
    assert list(bounds) == sorted(bounds)
    assert all(bound <= score for score, bound in watcher.told)
    assert bounds[-1] <= outcome.score + 1e-9
    assert outcome.score <= scores[-1] + 1e-9


def test_watching_changes_nothing() -> None:
    problem = groups.Problem(squad(16), ON, 4)
    alone, seen = groups.solve(problem, seed=1), watched(problem, Watcher())
    assert (alone.answer, alone.status, alone.score, alone.bound) == (seen.answer, seen.status, seen.score, seen.bound)


@pytest.mark.parametrize(("children", "count"), [(24, 6), (32, 8)])
def test_enough_is_enough(children: int, count: int) -> None:
    problem, watcher = groups.Problem(squad(children, 3), ON, count), Watcher(patience=1)
    outcome = watched(problem, watcher)
    assert len(watcher.told) == 1
    assert outcome.answer is not None
    assert outcome.status is not Status.BEST
    assert groups.violations(problem, outcome.answer) == []
    assert outcome.bound <= outcome.score <= watcher.told[0][0] + 1e-9
