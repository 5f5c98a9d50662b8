"""How good groups can be at all, by arithmetic alone: whole numbers do not always share out evenly.

Seven stars among two groups of three cannot be spread better than a third of a star; this holds for every attribute at
once, so the least spreads add up to a bound on the score, good where there are too many children for a proof.
"""

from __future__ import annotations

import math
from collections import Counter
from fractions import Fraction
from itertools import accumulate, product

from clubapp.engine import fairness
from clubapp.engine.groups_problem import Problem
from clubapp.engine.words import completed_years

FINEST = 10**9  # values measured finer than this share of their unit are taken to share out evenly
MOST_ORDERS = 20_000  # ways to use up the sizes that are tried


def least_spread(values: list[Fraction], sizes: tuple[int, ...]) -> Fraction:
    """No groups of these sizes have means closer together than this.

    Every group's sum is size × the first value + a multiple of the step; the mean of all lies among the group means,
    and a group off it by d leaves the others off it the other way.
    """
    if len(sizes) < 2:
        return Fraction(0)
    finest = math.lcm(*(value.denominator for value in values))
    if finest > FINEST:
        return Fraction(0)
    count, middle = len(values), sum(values, Fraction(0)) / len(values)
    step = Fraction(math.gcd(*(int((value - values[0]) * finest) for value in values)), finest)
    if not step:
        return Fraction(0)
    least = Fraction(0)
    for size in set(sizes):
        over = (middle - values[0]) * size % step
        off = min(over, step - over) / size
        least = max(least, off * count / (count - size), step / size if off and len(set(sizes)) == 1 else Fraction(0))
    return least


def exactly(problem: Problem, name: str) -> list[Fraction]:
    """Every child's value as the decimal it was written down as, gaps filled as the score fills them."""
    years = {a.id: completed_years(a.born, problem.on) for a in problem.athletes if a.born is not None}
    known: dict[str, Fraction] = {}
    for athlete in problem.athletes:
        value = fairness.measured(athlete, problem.on, name)
        if value is not None:
            known[athlete.id] = Fraction(repr(value))
    values: list[Fraction] = []
    for child in problem.ids:
        same = [known[other] for other in known if child in years and years.get(other) == years[child]]
        of_all = same or list(known.values()) or [Fraction(0)]
        values.append(known.get(child, sum(of_all, Fraction(0)) / len(of_all)))
    return values


def arithmetic_bound(problem: Problem, sizes: tuple[int, ...]) -> float:
    """A fairness score no groups of these sizes can be under."""
    total = 0.0
    for attribute in problem.balance:
        sd = fairness.deviation(fairness.filled(problem.athletes, problem.on, attribute.name).values)
        if sd:
            total += attribute.weight * float(least_spread(exactly(problem, attribute.name), sizes)) / sd
    return total


def bands_bound(able: tuple[float, ...], sizes: tuple[int, ...]) -> float:
    """The least sum of squares inside groups of these sizes, no rules asked: the children in order, cut into bands.

    For groups of given sizes on a line consecutive groups are best (Hwang, 1981), in one order of the sizes or another,
    which a table over the sizes used so far tries. 0 where the sizes are too many different ones.
    """
    order, kinds = sorted(able), Counter(sizes)
    if math.prod(count + 1 for count in kinds.values()) > MOST_ORDERS:
        return 0.0
    sums, squares = _running(order), _running([value**2 for value in order])
    least: dict[tuple[int, ...], float] = {}
    for used in product(*(range(count + 1) for count in kinds.values())):
        end = sum(size * many for size, many in zip(kinds, used, strict=True))
        costs = [0.0] if not end else []
        for at, size in enumerate(kinds):
            if used[at]:
                before = (*used[:at], used[at] - 1, *used[at + 1 :])
                total = sums[end] - sums[end - size]
                costs.append(least[before] + squares[end] - squares[end - size] - total**2 / size)
        least[used] = min(costs)
    return max(0.0, least[tuple(kinds.values())])


def _running(values: list[float]) -> list[float]:
    return [0.0, *accumulate(values)]
