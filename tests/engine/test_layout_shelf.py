from __future__ import annotations

from dataclasses import replace

from hypothesis import given

from clubapp.engine.layout_problem import Place, Problem, Station
from clubapp.engine.layout_rules import violations
from clubapp.engine.layout_shelf import shelves
from tests.engine.layouts import FIELD, problems, square, stations
from tests.strategies import examples

EVENING = Problem(FIELD, stations(4))


@examples(8)
@given(problems())
def test_shelves_keep_every_rule_or_there_are_none(problem: Problem) -> None:
    found = shelves(problem)
    assert found is None or violations(problem, found) == []


def test_what_is_to_stay_stays_and_is_built_round() -> None:
    stay = Place("s1", 150, 40)
    found = shelves(replace(EVENING, fixed=(stay,)))
    assert found is not None
    assert found.of["s1"] == stay
    assert [place.station for place in found.places] == ["s0", "s1", "s2", "s3"]
    assert shelves(replace(EVENING, fixed=(Place("s1", 0, 0),))) is None


def test_too_little_ground_leaves_none() -> None:
    assert shelves(Problem(square(60), (Station("a", 50, 50),))) is None


def test_every_second_shelf_comes_back() -> None:
    four = tuple(Station(f"s{at}", 30, 30) for at in range(4))
    found = shelves(Problem(square(100), four))
    assert found is not None
    assert [(place.x, place.y) for place in found.places] == [(10, 10), (50, 10), (60, 50), (20, 50)]
