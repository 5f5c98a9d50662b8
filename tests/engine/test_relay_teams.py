from __future__ import annotations

from collections import Counter

import numpy as np

from clubapp.engine import relay_teams as making
from clubapp.engine.limits import QUICK, Limit
from clubapp.engine.relay_problem import Problem
from clubapp.engine.shares import Way
from tests.strategies import runners


def test_where_numbers_divide_nobody_runs_twice() -> None:
    assert list(making.candidates(Problem(runners(8, 1), 4), 1)) == [frozenset()]


def test_it_is_the_turn_of_who_did_least() -> None:
    problem = Problem(runners(6, 1), 4, twice_before={f"c00{at}": 1 for at in range(5)}, once=frozenset({"c000"}))
    drawn = list(making.candidates(problem, 1))
    assert all("c005" in twice and "c000" not in twice and len(twice) == 2 for twice in drawn)
    assert len(set(drawn)) == len(drawn) > 1


def test_no_draw_where_too_few_may() -> None:
    field = runners(3, 1)
    assert list(making.candidates(Problem(field, 2, once=frozenset(one.id for one in field)), 1)) == []


def test_the_deal_fills_the_teams_and_puts_who_runs_twice_into_a_short_one() -> None:
    problem = Problem(runners(10, 1), 4)
    seats = making.dealt(problem, frozenset({"c001", "c007"}))
    assert sorted(Counter(seats.tolist()).values()) == [2, 2, 3, 3]
    teams = making.teams_of(problem, seats)
    assert [len(team) for team in teams] == list(making.sizes(problem))
    assert sum(len({"c001", "c007"} & set(team)) for team in teams[2:]) == 2
    assert making.job(problem, frozenset({"c001", "c007"})).broken(seats) == 0


def test_first_timers_are_one_more_at_most() -> None:
    problem = Problem(runners(9, 1), 3, first_timers=frozenset({"c000", "c001", "c002", "c003"}))
    kind = making.job(problem, frozenset()).kinds[1]
    assert (kind.least, kind.most) == ((1, 1, 1), (2, 2, 2))


def test_the_best_of_several_draws_and_a_bound() -> None:
    found = making.best(Problem(runners(7, 2), 2), QUICK, 1)
    assert not isinstance(found, Way)
    teams, twice, bound = found
    assert (len(teams), len(twice), bound) == (2, 1, 0.0)
    spread = making.job(Problem(runners(7, 2), 2), twice).spread_ms(np.array([1, 0, 1, 0, 1, 0, 1]))
    assert spread >= 0


def test_why_there_are_none() -> None:
    pairs = tuple(frozenset({f"c00{a}", f"c00{b}"}) for a, b in ((0, 1), (0, 2), (1, 2)))
    assert making.best(Problem(runners(4, 1), 2, apart=pairs), QUICK, 1) is Way.NONE
    assert making.best(Problem(runners(4, 1), 2, apart=pairs), Limit(0.0), 1) is Way.UNKNOWN
