"""Whole ways with prices on places."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise, permutations

import numpy as np
import pytest

from clubapp.engine import rotation_columns as columns
from clubapp.engine.limits import DEFAULT, Limit
from clubapp.engine.rotation_problem import Problem
from clubapp.engine.rotation_rules import score, violations
from clubapp.engine.words import Station
from tests.engine.rotations import field, groups, least, stations

FIVE = Problem(groups(5), field(5, 4), 5, max_hard_run=1)


@pytest.mark.parametrize(
    ("change", "fit"),
    [
        ({}, True), ({"groups": groups(3)}, True), ({"groups": groups(6)}, False), ({"rounds": 6}, False),
        ({"stations": stations(5, groups_max=2)}, False), ({"closed": frozenset({("S1", 1)})}, False),
        ({"kit_owned": {"cones": 3}}, False), ({"staffed": 5}, False), ({"balanced_succession": True}, False),
        ({"may_rest": True}, False), ({"fixed": (tuple((group, None) for group in groups(5)),)}, False),
        ({"stations": field(9, 1), "rounds": 9}, False), ({"stations": field(9, 1), "rounds": 4}, True),
    ],
)  # fmt: skip
def test_where_ways_of_single_groups_say_it_all(change: dict[str, object], fit: bool) -> None:
    assert columns.fits(replace(FIVE, **change)) is fit  # type: ignore[arg-type]


def test_ways_are_all_that_keep_the_rule_with_what_they_cost() -> None:
    ways = columns.ways_of(FIVE)
    assert ways is not None
    hard = [station.hard for station in FIVE.stations]
    kept = [way for way in permutations(range(5)) if not any(hard[a] and hard[b] for a, b in pairwise(way))]
    assert ways.at.tolist() == [list(way) for way in kept]
    ids = [station.id for station in FIVE.stations]
    walked = [sum(FIVE.walks[ids[a], ids[b]] for a, b in pairwise(way)) for way in kept]
    assert ways.cost.tolist() == walked
    free = columns.ways_of(replace(FIVE, max_hard_run=None, least_walking=False))
    assert free is not None
    assert (len(free.at), free.cost.max()) == (120, 0)


def test_a_station_where_nobody_can_begin_leaves_it_to_others() -> None:
    never = replace(FIVE, max_hard_run=0)
    assert columns.ways_of(never) is None
    assert columns.best(never, None, DEFAULT, 0) == columns.Found(None, 0)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("count", [2, 3])
def test_the_best_is_found_and_proven(count: int, seed: int) -> None:
    problem = Problem(groups(2), field(count, seed), min(count, 3), max_hard_run=1)
    found = columns.best(problem, None, DEFAULT, seed)
    assert found.answer is not None
    assert violations(problem, found.answer) == []
    assert found.bound == pytest.approx(1000 * score(problem, found.answer))
    assert score(problem, found.answer) == pytest.approx(least(problem))


def test_no_answer_is_below_the_bound_at_any_prices() -> None:
    ways = columns.ways_of(FIVE)
    assert ways is not None
    known = columns.best(FIVE, None, DEFAULT, 0)
    prices = columns.priced(ways, known.bound)
    assert prices.bound <= known.bound
    assert int(np.min(prices.over)) == 0


def test_prices_cut_short_are_still_a_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    ways, best = columns.ways_of(FIVE), columns.best(FIVE, None, DEFAULT, 0)
    assert ways is not None
    monkeypatch.setattr(columns, "ROUNDS_OF_PRICES", 3)
    assert 0 < columns.priced(ways, best.bound).bound < best.bound


def test_nothing_better_than_the_best_is_found() -> None:
    known = columns.best(FIVE, None, DEFAULT, 0)
    again = columns.best(FIVE, known.bound, DEFAULT, 0)
    assert again == columns.Found(None, known.bound)


def test_cut_short_it_still_has_a_bound() -> None:
    seven = Problem(groups(6), field(7, 1), 7, max_hard_run=2)
    best = columns.best(seven, None, DEFAULT, 0)
    short = columns.best(seven, None, Limit(deterministic=1e-9), 0)
    assert best.answer is not None
    assert 0 < short.bound <= 1000 * score(seven, best.answer)


def test_too_many_columns_are_left_to_others() -> None:
    # Every way costs the same, so that prices cannot tell any two apart.
    same = tuple(Station(f"S{at}") for at in range(8))
    found = columns.best(Problem(groups(8), same, 8), None, DEFAULT, 0)
    assert found.answer is None
    assert found.bound == 0
