from __future__ import annotations

from clubapp.engine.layout_problem import Place, Problem, Station
from clubapp.engine.layout_why import stuck, why
from tests.engine.layouts import FIELD, square, stations


def test_the_fewest_that_do_not_fit_together_are_named() -> None:
    rooms = (Station("a", 10, 10), Station("b", 50, 50), Station("c", 60, 50), Station("d", 10, 10))
    (reason,) = why(Problem(square(90), rooms, names={"b": "Bends"}), 0)
    assert (reason.code, reason.about) == ("room", ("b", "c"))
    assert reason.way_out == "Leave one of them out: Bends, c."


def test_what_cannot_stand_alone_is_named_alone() -> None:
    rooms = (Station("a", 10, 10), Station("b", 95, 50))
    (reason,) = why(Problem(square(100), rooms), 0)
    assert (reason.about, reason.way_out) == (("b",), "Make its set-up smaller.")


def test_what_is_to_stay_on_a_hazard() -> None:
    problem = Problem(FIELD, stations(2), fixed=(Place("s0", 20, 20), Place("s1", 180, 130)))
    assert [reason.about for reason in stuck(problem)] == [("s1",)]
