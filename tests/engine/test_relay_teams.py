from __future__ import annotations

from collections import Counter
from math import log

import numpy as np
import pytest

from clubapp.engine import relay_teams as making
from clubapp.engine.ability import Prediction
from clubapp.engine.limits import QUICK, Limit
from clubapp.engine.relay_problem import Problem
from clubapp.engine.runners import Runner
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


def test_no_turns_are_drawn_twice_and_whole_teams_have_a_bound() -> None:
    """Of three any may run twice: more lots than there are ways to draw. Two and two divide, so a bound is known."""
    drawn = list(making.candidates(Problem(runners(3, 1), 2), 1))
    assert {len(twice) for twice in drawn} == {1}
    assert len(drawn) == len(set(drawn)) <= 3
    found = making.best(Problem(runners(4, 3), 2), QUICK, 1)
    assert not isinstance(found, Way)
    assert found[1] == frozenset()
    assert found[2] >= 0


def test_teams_equal_to_a_breath_need_no_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two equal pairs; the least that may be left is a millisecond where the sum is odd."""
    monkeypatch.setattr(making.shares, "solve", lambda *_: pytest.fail("the solver was asked"))

    def field(*times_s: float) -> tuple[Runner, ...]:
        return tuple(Runner(f"c{at}", Prediction(log(time_s), 0.05, 0.03)) for at, time_s in enumerate(times_s))

    level, odd = field(7.0, 7.0, 7.0, 7.0), field(7.0, 7.0, 7.0, 7.001)
    for runs, least in ((level, 0.0), (odd, 1.0)):
        found = making.best(Problem(runs, 2), QUICK, 1)
        assert not isinstance(found, Way)
        assert found[2] == least


def test_why_there_are_none() -> None:
    pairs = tuple(frozenset({f"c00{a}", f"c00{b}"}) for a, b in ((0, 1), (0, 2), (1, 2)))
    assert making.best(Problem(runners(4, 1), 2, apart=pairs), QUICK, 1) is Way.NONE
    assert making.best(Problem(runners(4, 1), 2, apart=pairs), Limit(0.0), 1) is Way.UNKNOWN
