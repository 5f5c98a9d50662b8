"""How long to think."""

from __future__ import annotations

from clubapp.engine import limits
from clubapp.engine.limits import Allowance, Limit, Progress, Stopwatch


def test_a_deterministic_limit_has_one_worker_and_a_careful_one_several() -> None:
    assert limits.DEFAULT.workers == 1
    assert limits.CAREFUL.workers >= 2


def test_a_stopwatch_does_not_run_backwards() -> None:
    watch = Stopwatch()
    first = watch.seconds
    assert 0 <= first <= watch.seconds


def test_an_allowance_is_used_up_by_work_not_by_time() -> None:
    allowance = Allowance(Limit(deterministic=2.0), share=0.5)
    allowance.spend(0.9)
    assert allowance.left
    allowance.spend(0.2)
    assert not allowance.left


def test_a_careful_allowance_is_used_up_by_time_not_by_work() -> None:
    patient, none = Allowance(Limit(wall_seconds=1000.0)), Allowance(Limit(wall_seconds=0.0))
    patient.spend(1e9)
    assert patient.left
    assert not none.left


class Watcher:
    """Keeps what it was told, and has had enough after so many times."""

    def __init__(self, patience: int) -> None:
        self.told: list[tuple[float, float]] = []
        self.patience = patience

    def __call__(self, score: float, bound: float) -> bool:
        self.told.append((score, bound))
        return len(self.told) < self.patience


def test_once_they_had_enough_nobody_is_asked_again() -> None:
    watcher = Watcher(patience=1)
    allowance = Allowance(Limit(progress=Progress(watcher)))
    assert [allowance.left, allowance.left] == [False, False]
    assert len(watcher.told) == 1


def test_a_bound_is_never_over_the_score() -> None:
    watcher = Watcher(patience=9)
    allowance = Allowance(Limit(progress=Progress(watcher)))
    allowance.reached(0.5)
    allowance.proved(0.7)
    allowance.reached(0.6)
    assert allowance.left
    assert watcher.told == [(0.5, 0.5)]


def test_without_anybody_watching_nothing_is_told() -> None:
    allowance = Allowance(Limit())
    allowance.reached(0.5)
    allowance.proved(0.1)
    assert allowance.left
