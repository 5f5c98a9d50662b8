from __future__ import annotations

from dataclasses import replace

from clubapp.engine.layout_ground import Closed
from clubapp.engine.layout_problem import Answer, Box, Ground, Place, Problem, Station
from clubapp.engine.layout_rules import (
    QUIET_WEIGHT,
    cost,
    crowded,
    drowned,
    facing,
    floor,
    grounded,
    nearest,
    score,
    troubles,
    violations,
)  # fmt: skip
from tests.engine.layouts import FIELD, square

ONE, TWO = Station("a", 20, 20, (10, 0, 0, 0)), Station("b", 20, 20, (10, 0, 0, 0))
PAIR = Problem(square(300), (ONE, TWO), names={"a": "Bends"})


def test_what_of_the_ground_is_in_the_way() -> None:
    strip = Ground(FIELD.outline, (Box(0, 200, 400, 210),), water=(200, 50))
    problem = Problem(strip, (Station("a", 20, 20),))
    found = {at: grounded(problem, Place("a", *at)) for at in ((5, 100), (100, 175), (200, 60), (100, 250), (100, 100))}
    assert found == {
        (5, 100): Closed.OUTSIDE,
        (100, 175): Closed.HAZARD,
        (200, 60): Closed.POINT,
        (100, 250): Closed.CUT_OFF,
        (100, 100): None,
    }


def test_rooms_overlap_or_leave_no_path() -> None:
    assert not crowded(PAIR, Place("a", 100, 100), Place("b", 130, 100))
    assert crowded(PAIR, Place("a", 100, 100), Place("b", 129, 100))
    assert crowded(PAIR, Place("a", 100, 100), Place("b", 100, 139))  # the run-out of the first


def test_run_outs_point_at_each_other() -> None:
    north, south = Place("a", 100, 50, 0), Place("b", 110, 150, 2)
    assert facing(PAIR, north, south)
    assert facing(PAIR, south, north)
    assert not facing(PAIR, north, Place("b", 120, 150, 2))  # beside its lane
    assert not facing(PAIR, north, Place("b", 110, 190, 2))  # far enough
    assert not facing(PAIR, Place("a", 100, 150, 0), Place("b", 100, 50, 2))  # back to back
    assert not facing(PAIR, north, replace(south, turn=0))
    assert facing(PAIR, Place("a", 50, 100, 1), Place("b", 150, 110, 3))
    assert not facing(PAIR, Place("a", 50, 100, 1), Place("b", 150, 120, 3))


def test_every_trouble_is_told_with_whom_it_is_about() -> None:
    problem = replace(PAIR, fixed=(Place("a", 100, 100),))
    answer = Answer((Place("a", 0, 100), Place("b", 10, 100)))
    found = list(troubles(problem, answer))
    assert [(reason.code, reason.about) for reason in found] == [
        ("outside", ("a",)), ("crowded", ("a", "b")), ("stays", ("a",)),
    ]  # fmt: skip
    assert found[0].text == "Bends does not lie inside the field."
    opposite = Answer((Place("a", 100, 50, 0), Place("b", 110, 150, 2)))
    assert violations(PAIR, opposite) == ["Children at Bends and b run out towards each other."]
    assert violations(problem, Answer((Place("a", 100, 100), Place("b", 200, 200)))) == []
    assert violations(PAIR, Answer((Place("a", 100, 50),))) == ["Not every station stands in one place."]
    assert len(violations(PAIR, Answer((Place("a", 100, 50), Place("a", 0, 0))))) == 1


def test_the_ways_and_what_is_drowned_are_counted() -> None:
    ground = replace(square(300), water=(0, 0), first_aid=(300, 300))
    two = (Station("a", 20, 20, loud=True), Station("b", 20, 20, hears=True))
    problem = Problem(ground, two, hush=100)
    answer = Answer((Place("a", 50, 50), Place("b", 100, 80)))
    # Middles at (6, 6) and (11, 9) metres: 8 m apart, 20 m to water, 48 m to first aid, 2 m too near.
    assert drowned(problem, answer) == [("a", "b", 40)]
    assert cost(problem, answer) == 20 * (8 + 20 + 48 + QUIET_WEIGHT * 2)
    assert score(problem, answer) == 80.0
    turned = replace(
        problem, stations=(replace(two[0], loud=False, hears=True), replace(two[1], hears=False, loud=True))
    )
    assert drowned(turned, answer) == [("a", "b", 40)]
    assert drowned(replace(problem, hush=80), answer) == []
    quiet = replace(problem, stations=(two[0], replace(two[1], hears=False)))
    assert drowned(quiet, answer) == []  # nobody listens for a call
    assert cost(Problem(ground, ()), Answer(())) == floor(Problem(ground, ())) == 0


def test_no_two_middles_are_nearer_than_that() -> None:
    assert nearest(PAIR, "a", "b") == 2 * (20 + 10)
    wide = Problem(square(300), (Station("a", 40, 60, (0, 10, 0, 10)), Station("b", 20, 20)))
    assert nearest(wide, "a", "b") == 40 + 20 + 2 * 10 + 20 or nearest(wide, "a", "b") == 60 + 20 + 20
    assert floor(replace(PAIR, ground=replace(square(300), water=(0, 0)))) == 60 + 20 + 20
