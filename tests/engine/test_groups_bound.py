"""Bounds by arithmetic, against all partitions there are."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import fairness
from clubapp.engine.fairness import Attribute
from clubapp.engine.groups_bound import arithmetic_bound, bands_bound, exactly, least_spread
from clubapp.engine.groups_problem import Problem
from tests.strategies import EVENING, children, examples

SIZES = st.sampled_from([(3, 3), (2, 4), (2, 2, 2), (1, 2, 3), (6,), (1, 5)])


def cuts(values: list[Fraction], sizes: tuple[int, ...]) -> list[list[list[Fraction]]]:
    """All ways to cut values into groups of these sizes."""
    made = []
    for order in set(permutations(values)):
        waiting = list(order)
        made.append([[waiting.pop() for _ in range(size)] for size in sizes])
    return made


def mean(group: list[Fraction]) -> Fraction:
    return sum(group, Fraction(0)) / len(group)


@examples(8)
@given(st.lists(st.integers(1, 5), min_size=6, max_size=6), SIZES)
def test_no_groups_have_means_closer_than_the_least_spread(values: list[int], sizes: tuple[int, ...]) -> None:
    exact = [Fraction(value, 2) for value in values]
    spreads = [max(map(mean, cut)) - min(map(mean, cut)) for cut in cuts(exact, sizes)]
    assert 0 <= least_spread(exact, sizes) <= min(spreads)


def test_seven_stars_on_six_children_leave_a_third_of_a_star() -> None:
    assert least_spread([Fraction(v) for v in (1, 1, 1, 1, 1, 2)], (3, 3)) == Fraction(1, 3)
    assert least_spread([Fraction(v) for v in (1, 1, 1, 1, 2, 2)], (3, 3)) == 0
    assert least_spread([Fraction(3)] * 6, (2, 4)) == 0
    assert least_spread([Fraction(1, 10**10), Fraction(0)], (1, 1)) == 0


@examples(8)
@given(st.lists(st.integers(-9, 9), min_size=6, max_size=6), SIZES)
def test_bands_are_the_best_groups_without_rules(values: list[int], sizes: tuple[int, ...]) -> None:
    every = [
        sum((value - mean(group)) ** 2 for group in cut for value in group)
        for cut in cuts([Fraction(value) for value in values], sizes)
    ]
    assert bands_bound(tuple(map(float, values)), sizes) == pytest.approx(float(min(every)), abs=1e-9)


def test_too_many_different_sizes_are_left_alone() -> None:
    sizes = tuple(range(1, 17))
    assert bands_bound(tuple(map(float, range(sum(sizes)))), sizes) == 0.0


def test_exact_values_are_those_of_the_score() -> None:
    problem = Problem(children(20, 2), EVENING, 4)
    for attribute in (*problem.balance, Attribute("nothing")):
        filled = fairness.filled(problem.athletes, EVENING, attribute.name).values
        assert [float(value) for value in exactly(problem, attribute.name)] == pytest.approx(filled)


def test_bounds_of_attributes_add_up_by_weight() -> None:
    problem = Problem(children(20, 2), EVENING, 4, balance=(Attribute("skill"),))
    one = arithmetic_bound(problem, (5, 5, 5, 5))
    twice = replace(problem, balance=(Attribute("skill", 2.0), Attribute("nothing")))
    assert arithmetic_bound(twice, (5, 5, 5, 5)) == pytest.approx(2 * one)
