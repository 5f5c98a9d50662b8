from __future__ import annotations

import random
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import relay_legs as legs
from clubapp.engine.relay_problem import Order, Problem
from tests.strategies import examples, runners

FIELD = runners(8, 1)


@examples(30)
@given(st.sampled_from(Order), st.integers(1, 6), st.integers(0, 5), st.integers(0, 99))
def test_who_runs_twice_rests_between(order: Order, size: int, at: int, seed: int) -> None:
    team = [one.id for one in FIELD[:size]]
    twice = frozenset({team[at % size]})
    run = legs.in_order(Problem(FIELD, order=order), team, twice, random.Random(seed))
    assert sorted(run) == sorted([*team, *twice])
    assert size == 1 or all(one != two for one, two in pairwise(run))


def test_even_legs_meet_in_an_order_that_a_lot_says() -> None:
    problem, places = Problem(FIELD), [2, 0, 3, 1]
    by_speed = [one.id for one in problem.by_speed]
    runs = [legs.in_order(problem, by_speed[at::2], frozenset(), random.Random(1), places) for at in (0, 1)]
    slow_first = [list(reversed(by_speed[at::2])) for at in (0, 1)]
    assert runs == [tuple(team[at] for at in (1, 3, 0, 2)) for team in slow_first]


def test_the_quickest_runs_last() -> None:
    problem = Problem(FIELD, order=Order.QUICK_LAST)
    run = legs.in_order(problem, [one.id for one in FIELD], frozenset(), random.Random(1))
    assert run[-1] == problem.by_speed[0].id


def test_the_quickest_runs_first_where_asked_and_a_lot_is_a_lot() -> None:
    problem = Problem(FIELD, order=Order.QUICK_FIRST)
    team = [one.id for one in FIELD]
    assert legs.in_order(problem, team, frozenset(), random.Random(1)) == tuple(one.id for one in problem.by_speed)
    lots = {legs.in_order(Problem(FIELD, order=Order.LOT), team, frozenset(), random.Random(s)) for s in range(9)}
    assert len(lots) > 5


def test_ends_of_a_shuttle() -> None:
    assert (legs.ends(5), legs.ends(4)) == ((3, 2), (2, 2))


def test_a_short_leg_has_no_zone_and_that_of_a_long_one_lies_round_the_line() -> None:
    short, sprint, long = legs.zone(30.0), legs.zone(100.0), legs.zone(800.0)
    assert short is None
    assert sprint is not None
    assert long is not None
    assert sprint.before_m + sprint.after_m == legs.ZONE_M
    assert sprint.before_m > sprint.after_m
    assert long.before_m == long.after_m == legs.LATE_ZONE_M / 2


def test_points_go_by_place_and_a_team_without_a_time_has_none() -> None:
    assert legs.points({"Red": 61_000, "Blue": 60_000, "Green": 61_000, "Gold": None}) == {
        "Red": 3,
        "Blue": 4,
        "Green": 3,
        "Gold": 0,
    }
