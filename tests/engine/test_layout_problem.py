from __future__ import annotations

import pytest

from clubapp.engine.layout_problem import EAST, NORTH, SOUTH, WEST, Answer, Box, Ground, Place, Problem, Shape, Station
from tests.engine.layouts import FIELD, square, stations


@pytest.mark.parametrize(
    "outline", [((0, 0), (10, 0)), ((0, 0), (10, 0), (20, 0))], ids=["two corners", "no ground between"]
)
def test_an_outline_encloses_ground(outline: tuple[tuple[int, int], ...]) -> None:
    with pytest.raises(ValueError, match="three corners"):
        Ground(outline)


def test_what_makes_no_sense_is_refused() -> None:
    for wrong in ({"wide": 0}, {"beyond": (0, -1, 0, 0)}):
        with pytest.raises(ValueError, match="needs ground"):
            Station(**{"id": "a", "wide": 10, "long": 10} | wrong)  # type: ignore[arg-type]
    two, stay = stations(2), Place("s0", 0, 0)
    for given in ({"stations": (*two, two[0])}, {"fixed": (stay, stay)}, {"fixed": (Place("x", 0, 0),)}):
        with pytest.raises(ValueError, match="stands twice"):
            Problem(**{"ground": FIELD, "stations": two} | given)  # type: ignore[arg-type]


def test_a_run_out_turns_with_its_set_up() -> None:
    station = Station("a", 30, 50, (20, 0, 0, 5))
    problem = Problem(square(300), (station,), names={"a": "Bends"})
    rooms = {turn: problem.room(Place("a", 100, 100, turn)) for turn in station.turns}
    assert rooms == {
        NORTH: Box(95, 100, 130, 170),
        EAST: Box(100, 100, 170, 135),
        SOUTH: Box(100, 80, 135, 150),
        WEST: Box(80, 95, 150, 130),
    }
    assert problem.middle(Place("a", 100, 100, EAST)) == (250, 230)
    assert (problem.name("a"), problem.name("b")) == ("Bends", "b")
    assert Answer((Place("a", 1, 1),)).of["a"].x == 1


def test_turns_that_change_nothing_are_left_out() -> None:
    assert Station("a", 10, 10).turns == (0,)
    assert Station("a", 10, 20).turns == (0, 1)
    assert Station("a", 10, 20, (5, 0, 5, 0)).turns == (0, 1)
    assert Station("a", 10, 10, (5, 0, 0, 0)).turns == (0, 1, 2, 3)


def test_one_follows_the_other_round_and_round() -> None:
    three = Problem(FIELD, stations(3))
    assert three.following == (("s0", "s1"), ("s1", "s2"), ("s2", "s0"))
    assert [len(Problem(FIELD, stations(count)).following) for count in (0, 1, 2)] == [0, 0, 1]
    ground = Ground(((0, 0), (20, 0), (20, 10)))
    assert ground.area == 200
    assert ground.extent == Box(0, 0, 20, 10)


def test_boxes_meet_where_they_share_ground_or_stand_too_near() -> None:
    box = Box(0, 0, 10, 10)
    assert box.meets(Box(9, 9, 20, 20))
    beside, above = Box(12, 0, 20, 10), Box(0, 12, 10, 20)
    assert [box.meets(beside, apart) for apart in (0, 2, 3)] == [False, False, True]
    assert [box.meets(above, apart) for apart in (0, 2, 3)] == [False, False, True]
    assert box.grown(3) == Box(-3, -3, 13, 13)
    assert Shape(30, 50, (20, 1, 2, 5)).room == (36, 72)
