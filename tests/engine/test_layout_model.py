from __future__ import annotations

from dataclasses import replace

from clubapp.engine.layout_model import Model, any_places, improve
from clubapp.engine.layout_problem import Answer, Place, Problem, Station
from clubapp.engine.layout_rules import cost, violations
from clubapp.engine.limits import Limit
from tests.engine.layouts import FIELD, SHORT, square, stations


def test_what_the_solver_minimises_is_what_the_rules_count() -> None:
    problem = Problem(FIELD, stations(3))
    made = Model(problem)
    made.minimise()
    run = made.run(SHORT, 0)
    assert run.found
    answer = made.answer(run)
    assert run.objective == cost(problem, answer)
    assert violations(problem, answer) == []


def test_two_that_run_towards_each_other_are_parted() -> None:
    """In a corridor one lane wide only back to back, or the same way, is left."""
    lane = (Station("a", 30, 30, (20, 0, 0, 0)), Station("b", 30, 30, (20, 0, 0, 0)))
    problem = Problem(replace(square(200), outline=((0, 0), (50, 0), (50, 200), (0, 200))), lane)
    best, _bound, none = improve(problem, SHORT, 0, None)
    assert best is not None
    assert not none
    assert violations(problem, best) == []


def test_what_stays_is_no_variable_and_what_is_worse_than_the_start_is_left() -> None:
    problem = Problem(FIELD, stations(2), fixed=(Place("s0", 33, 47, 2),))
    start = Answer((Place("s0", 33, 47, 2), Place("s1", 250, 30)))
    best, bound, _none = improve(problem, SHORT, 0, start)
    assert best is not None
    assert best.places[0] == start.places[0]
    assert bound <= cost(problem, best) <= cost(problem, start)
    assert improve(problem, Limit(deterministic=1e-9), 0, start)[0] is not None


def test_where_nothing_fits_that_is_proven() -> None:
    problem = Problem(square(60), (Station("a", 30, 30), Station("b", 30, 30)))
    assert improve(problem, SHORT, 0, None)[::2] == (None, True)


def test_any_places_keep_every_rule_where_there_are_some() -> None:
    problem = Problem(FIELD, stations(3))
    found = any_places(problem, SHORT, 0)
    assert found is not None
    assert violations(problem, found) == []
    assert any_places(Problem(square(100), (Station("a", 200, 200),)), SHORT, 0) is None
