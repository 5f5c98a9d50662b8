"""How long to think."""

from __future__ import annotations

from clubapp.engine import limits
from clubapp.engine.limits import Allowance, Limit, Stopwatch


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
