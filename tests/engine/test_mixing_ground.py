"""What rounds cost as arrays is what they cost in words."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from clubapp.engine.mixing import Problem, report, violations
from clubapp.engine.mixing_ground import RULE, answer_of, ground_of
from tests.engine.test_mixing import DAY, children

ATHLETES = tuple(replace(one, kinds=frozenset({"k"} if at % 3 == 0 else {})) for at, one in enumerate(children(13)))
RULED = Problem(
    ATHLETES, DAY, 4, 3, together=(frozenset({"c00", "c01"}), frozenset({"c02", "c03"})),
    apart=(frozenset({"c00", "c01"}), frozenset({"c04", "c05", "c06"})), not_alone=("k",), within_years=1.0,
)  # fmt: skip


@pytest.mark.parametrize("seed", range(8))
def test_costs_agree_with_the_report_and_the_violations(seed: int) -> None:
    lot, ground = np.random.default_rng(seed), ground_of(RULED)
    seats = np.stack([lot.permutation(np.repeat(np.arange(4), RULED.sizes)) for _ in range(3)])
    answer = answer_of(RULED, seats)
    met = report(RULED, answer)
    assert ground.fairness(seats) == pytest.approx(met.fairness)
    said = violations(RULED, answer)
    assert ground.lonely(seats).sum() == sum("only one" in line or "near in age" in line for line in said)
    held, apart = (RULE * sum(words in line for line in said) for words in ("parts them", "does not"))
    # A meeting of two who are held together counts less than nothing; here they are two pairs over three rounds.
    assert ground.company(ground.met(seats)) == pytest.approx(
        held + apart - RULE * 3 * (len(RULED.held)) + 1000.0 * (met.repeats + met.held)
    )


def test_without_rules_and_without_anything_to_balance() -> None:
    problem = Problem(children(6), DAY, 2, 1, balance=())
    ground = ground_of(problem)
    assert ground.slow == 1 < ground_of(RULED).slow
    assert ground.fairness(np.array([[0, 0, 0, 1, 1, 1]])).tolist() == [0.0]
    assert ground.lonely(np.array([[0, 0, 0, 1, 1, 1]])).tolist() == [0.0]
