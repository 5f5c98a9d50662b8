"""Proven optima of small squads against two other ways to find them.

Sources: exhaustive search over all partitions; and a mixed-integer program given to HiGHS (Huangfu and Hall, 2018) as
scipy.optimize.milp, written from the score's formula and sharing no code with the engine's search.
"""

from __future__ import annotations

import statistics
from collections.abc import Iterator
from itertools import combinations

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from clubapp.engine import fairness
from clubapp.engine.groups import Problem, solve
from clubapp.engine.outcome import Status
from tests.strategies import EVENING, children


def values_of(problem: Problem) -> list[list[float]]:
    """Each attribute over its population deviation, child by child."""
    rows = []
    for attribute in problem.balance:
        values = fairness.filled(problem.athletes, problem.on, attribute.name).values
        rows.append([attribute.weight * value / statistics.pstdev(values) for value in values])
    return rows


def partitions(children_left: tuple[int, ...], sizes: tuple[int, ...]) -> Iterator[list[tuple[int, ...]]]:
    if not sizes:
        yield []
        return
    for group in combinations(children_left, sizes[0]):
        rest = tuple(child for child in children_left if child not in group)
        for others in partitions(rest, sizes[1:]):
            yield [group, *others]


def by_trying(problem: Problem, sizes: tuple[int, ...]) -> float:
    rows = values_of(problem)
    best = float("inf")
    for groups in partitions(tuple(range(len(problem.athletes))), sizes):
        means = [[statistics.fmean(row[child] for child in group) for group in groups] for row in rows]
        best = min(best, sum(max(row) - min(row) for row in means))
    return best


def by_milp(problem: Problem, sizes: tuple[int, ...]) -> float:
    """x[i, g] child i in group g; high[a] and low[a] around the group means; the least sum of high − low."""
    rows = values_of(problem)
    count, groups, attributes = len(problem.athletes), len(sizes), len(rows)
    seats, wide = count * groups, count * groups + 2 * attributes
    lines, least, most = [], [], []

    def line(terms: dict[int, float], low: float, high: float) -> None:
        row = np.zeros(wide)
        for at, factor in terms.items():
            row[at] = factor
        lines.append(row)
        least.append(low)
        most.append(high)

    for i in range(count):
        line({i * groups + g: 1 for g in range(groups)}, 1, 1)
    for g, size in enumerate(sizes):
        line({i * groups + g: 1 for i in range(count)}, size, size)
        for a, row in enumerate(rows):
            mean = {i * groups + g: row[i] / size for i in range(count)}
            line(mean | {seats + 2 * a: -1.0}, -np.inf, 0)
            line(mean | {seats + 2 * a + 1: -1.0}, 0, np.inf)
    goal = np.concatenate([np.zeros(seats), np.tile([1.0, -1.0], attributes)])
    whole = np.concatenate([np.ones(seats), np.zeros(2 * attributes)])
    bounds = Bounds(
        np.concatenate([np.zeros(seats), np.full(2 * attributes, -np.inf)]),
        np.concatenate([np.ones(seats), np.full(2 * attributes, np.inf)]),
    )
    found = milp(goal, integrality=whole, bounds=bounds, constraints=LinearConstraint(np.array(lines), least, most))
    assert found.status == 0
    return float(found.fun)


CASES = [(8, (4, 4)), (9, (3, 3, 3)), (9, (4, 5)), (8, (3, 3, 2))]


@pytest.mark.parametrize(("count", "sizes"), [*CASES, (10, (5, 5))])
def test_the_optimum_is_that_of_both_other_ways(count: int, sizes: tuple[int, ...], big: bool) -> None:
    for seed in range(3 if big else 1):
        problem = Problem(children(count, seed), EVENING, len(sizes), sizes=sizes)
        outcome = solve(problem)
        assert outcome.status is Status.BEST
        assert outcome.score == pytest.approx(by_trying(problem, sizes), abs=1e-9)
        assert outcome.score == pytest.approx(by_milp(problem, sizes), abs=1e-6)
