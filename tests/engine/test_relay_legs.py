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
