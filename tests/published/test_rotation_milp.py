"""Least walking against another solver: HiGHS through scipy.optimize.milp, on a model written here from the rules."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, milp

from clubapp.engine.outcome import Status
from clubapp.engine.rotation import Problem, solve
from tests.engine.rotations import field, groups


class Rows:
    """Linear constraints, written one at a time over named variables of 0 and 1."""

    def __init__(self, names: list[tuple[object, ...]]) -> None:
        self.column = {name: at for at, name in enumerate(names)}
        self.rows: list[np.ndarray] = []
        self.low: list[float] = []
        self.high: list[float] = []

    def add(self, terms: dict[tuple[object, ...], float], low: float, high: float) -> None:
        row = np.zeros(len(self.column))
        for name, factor in terms.items():
            row[self.column[name]] = factor
        self.rows.append(row)
        self.low.append(low)
        self.high.append(high)


def least_walking_m(problem: Problem) -> float:
    """Groups as many as stations and rounds: every group once at every station, one at a time."""
    size = len(problem.stations)
    n = range(size)
    at = [("at", g, r, s) for g, r, s in product(n, n, n)]
    move = [("move", g, r, s, t) for g, r, s, t in product(n, range(size - 1), n, n) if s != t]
    rows = Rows([*at, *move])
    for a, b in product(n, n):
        rows.add({("at", a, b, s): 1 for s in n}, 1, 1)
        rows.add({("at", a, r, b): 1 for r in n}, 1, 1)
        rows.add({("at", g, a, b): 1 for g in n}, 1, 1)
    for g, r, s in product(n, range(size - 1), n):
        rows.add({("at", g, r, s): -1, **{("move", g, r, s, t): 1 for t in n if t != s}}, 0, 0)
        rows.add({("at", g, r + 1, s): -1, **{("move", g, r, t, s): 1 for t in n if t != s}}, 0, 0)
    hard = [s for s in n if problem.stations[s].hard]
    most = problem.max_hard_run or 0
    for g, r in product(n, range(size - most)):
        rows.add({("at", g, q, s): 1 for q in range(r, r + most + 1) for s in hard}, 0, most)
    ids = [station.id for station in problem.stations]
    cost = [0.0] * len(at) + [problem.walks[ids[int(m[3])], ids[int(m[4])]] / 1000 for m in move]
    found = milp(
        np.array(cost),
        integrality=np.ones(len(cost)),
        bounds=(0, 1),
        constraints=LinearConstraint(np.array(rows.rows), rows.low, rows.high),
    )
    assert found.success
    return float(found.fun)


@pytest.mark.parametrize("seed", range(3))
def test_the_proven_best_is_the_other_solvers_best(seed: int) -> None:
    problem = Problem(groups(4), field(4, seed), 4, max_hard_run=1 + seed % 2)
    outcome = solve(problem)
    assert outcome.status is Status.BEST
    assert outcome.score == pytest.approx(least_walking_m(problem), abs=1e-6)


def test_five_groups_too(big: bool) -> None:
    for seed in range(4 if big else 1):
        problem = Problem(groups(5), field(5, seed), 5, max_hard_run=2)
        assert solve(problem).score == pytest.approx(least_walking_m(problem), abs=1e-6)
