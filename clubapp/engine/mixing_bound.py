"""How fair the rounds can be at best: a bound from counting, with no search.

Where nobody meets twice, a child at one end of an attribute soon runs out of others of its kind: over all rounds it
meets so many different children that the means of its groups cannot stay near the middle.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import reduce
from itertools import permutations

from clubapp.engine import fairness
from clubapp.engine.mixing_problem import REPEAT, Aim, Problem
from clubapp.engine.mixing_repeats import least_repeats

CLOSE = 1e-9  # what rounding may hide
UNITS = (1.0, 2.0, 10.0, 100.0, 365.25, 1000.0)  # values are often whole numbers of such parts


def bound(problem: Problem) -> float:
    """No answer scores less. Either no more meetings are repeated than must be, or one more."""
    least, one = least_repeats(problem), REPEAT[problem.aim]
    held = one * len(problem.held) * (problem.rounds - 1)
    uneven = least_uneven(problem)
    if problem.aim is Aim.FAIR:
        return held + one * least + uneven
    return held + min(one * (least + 1), one * least + max(uneven, least_unfair(problem, least)))


def columns(problem: Problem) -> Iterator[list[float]]:
    """The values of each attribute, as differences count in the score."""
    for attribute in problem.balance:
        values = fairness.filled(problem.athletes, problem.on, attribute.name).values
        sd = fairness.deviation(values)
        yield [value * attribute.weight / sd if sd else 0.0 for value in values]


def least_unfair(problem: Problem, repeats: int) -> float:
    """The fairness of the worst round is no less where at most so many meetings are repeated, those who must be
    together aside.

    For children i and j the largest mean of a round is at least that of i's group, the smallest at most that of j's,
    or that of all who are not with i; summed over the rounds, i's groups have the least mean if i meets the least of
    the others, and j the most.
    """
    total = 0.0
    for values in columns(problem):
        low = _least_sums(problem, values, repeats)
        high = [-least for least in _least_sums(problem, [-value for value in values], repeats)]
        between = (low[i] - high[j] for i, j in permutations(range(len(values)), 2))
        total += max(0.0, *between, _from_the_rest(problem, values, low, high)) / problem.rounds
    return max(0.0, total - CLOSE)


def _from_the_rest(problem: Problem, values: list[float], low: list[float], high: list[float]) -> float:
    """How far the groups of one child are from all others at least, summed over the rounds."""
    count, size, middle = len(values), min(problem.sizes), problem.rounds * fairness.mean(values)
    if size == count:
        return 0.0
    return max(max(low) - middle, middle - min(high)) * count / (count - size)


def _least_sums(problem: Problem, values: list[float], repeats: int) -> list[float]:
    """For each child the least sum over rounds of the mean of its group; infinite where there are too few others."""
    large = range(problem.rounds + 1) if len(set(problem.sizes)) > 1 else range(1)
    return [min(_least_sum(problem, child, values, (repeats, rounds)) for rounds in large) for child in problem.ids]


def _least_sum(problem: Problem, child: str, values: list[float], given: tuple[int, int]) -> float:
    """given: how many meetings may be repeated, and in how many rounds the child is in a larger group."""
    (repeats, larger), small = given, min(problem.sizes)
    value = dict(zip(problem.ids, values, strict=True))
    mates = _mates(problem.held, child)
    others = sorted(value[other] for other in set(problem.ids) - mates - _mates(problem.pairs(problem.apart), child)
                    if other != child)  # fmt: skip
    rounds = [small] * (problem.rounds - larger) + [small + 1] * larger
    weights = [1 / size for size in rounds for _ in range(size - 1 - len(mates))]
    again = max(0, min(repeats, len(weights) - 1))
    if len(weights) - again > len(others):
        return math.inf
    met = sorted(others[:1] * again + others[: len(weights) - again])
    fixed = value[child] + sum(value[mate] for mate in mates)
    return sum(fixed / size for size in rounds) + sum(w * v for w, v in zip(weights, met, strict=True))


def _mates(pairs: frozenset[tuple[str, str]], child: str) -> frozenset[str]:
    return frozenset(other for pair in pairs if child in pair for other in pair if other != child)


def least_uneven(problem: Problem) -> float:
    """What one round costs at least, where groups are equal in size and a total in whole units does not share out."""
    if len(set(problem.sizes)) > 1:
        return 0.0
    total = 0.0
    for attribute in problem.balance:
        values = fairness.filled(problem.athletes, problem.on, attribute.name).values
        sd = fairness.deviation(values)
        total += attribute.weight * _unit(values, problem.groups) / (problem.sizes[0] * sd) if sd else 0.0
    return max(0.0, total - CLOSE)


def _unit(values: tuple[float, ...], groups: int) -> float:
    """By how much the totals of two groups differ at least; 0 where that cannot be said."""
    for parts in UNITS:
        scaled = [(value - min(values)) * parts for value in values]
        whole = [round(value) for value in scaled]
        if all(abs(one - other) < 1e-6 for one, other in zip(scaled, whole, strict=True)):
            unit = reduce(math.gcd, whole)
            return unit / parts if sum(whole) // max(1, unit) % groups else 0.0
    return 0.0
