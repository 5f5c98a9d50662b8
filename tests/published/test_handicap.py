"""Handicap marks against published arithmetic.

Sources: "time from the slowest", rydeharriers.co.uk (calculation of handicap target times); marks on a count, a public
guide to wood-chopping handicaps (times 60, 45 and 30 s with front mark 3 give marks 3, 18 and 33, all home on 63);
half-way smoothing of starts, rycv.com.au (start times, how are they calculated). The head start in metres,
D·(1 − fast/slow), is a derivation from constant mean speed.
"""

from __future__ import annotations

import math

import pytest

from clubapp.engine import handicap
from clubapp.engine.ability import Prediction
from clubapp.engine.handicap import Aim, How, Problem, Rule, Update
from clubapp.engine.runners import Runner


def field(*seconds: float) -> tuple[Runner, ...]:
    return tuple(Runner(f"{time:g}", Prediction(math.log(time), 0.05, 0.02)) for time in seconds)


def together(problem: Problem) -> dict[str, int]:
    answer = handicap.solve(problem).answer
    assert answer is not None
    return answer.of


def test_marks_on_the_count_and_all_home_on_63() -> None:
    problem = Problem(field(60, 45, 30), aim=Aim.TOGETHER, front=3000)
    marks = together(problem)
    assert marks == {"60": 3000, "45": 18000, "30": 33000}
    assert handicap.finishes(problem, marks) == pytest.approx([63, 63, 63])
    assert handicap.solve(problem).score == pytest.approx(0, abs=1e-6)


def test_a_constant_changes_nothing_and_a_changed_field_is_based_anew() -> None:
    later = together(Problem(field(60, 45, 30), aim=Aim.TOGETHER, front=10_000))
    assert later == {"60": 10_000, "45": 25_000, "30": 40_000}
    assert together(Problem(field(45, 30), aim=Aim.TOGETHER, front=3000)) == {"45": 3000, "30": 18_000}


def test_time_from_the_slowest() -> None:
    times = (412.0, 365.0, 365.5, 301.0)
    marks = together(Problem(field(*times), aim=Aim.TOGETHER, step=500))
    assert marks == {f"{time:g}": round(1000 * (412.0 - time)) for time in times}
    twins = field(50, 50.0001)
    assert set(together(Problem(twins, aim=Aim.TOGETHER)).values()) == {0}


@pytest.mark.parametrize(("fast", "slow", "metres"), [(5.0, 6.25, 8.0), (6.0, 8.0, 10.0), (6.0, 6.0001, 0.0)])
def test_head_start_in_metres(fast: float, slow: float, metres: float) -> None:
    marks = together(Problem(field(fast, slow), How.METRES, Aim.TOGETHER, 500, distance_mm=40_000))
    assert marks == {f"{fast:g}": 0, f"{slow:g}": round(1000 * metres)}


def test_half_way_between_the_old_and_the_new() -> None:
    likely = Prediction(math.log(100.0), 0.05, 0.02)
    after = Update(Rule.HALF_WAY).after(likely, 104.0)
    assert after.median_s == pytest.approx(math.sqrt(100 * 104))  # half-way on the logarithm
    assert after.median_s == pytest.approx((100 + 104) / 2, abs=0.02)
