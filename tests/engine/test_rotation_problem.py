"""Reading an answer."""

from __future__ import annotations

from clubapp.engine.rotation_plain import plain
from clubapp.engine.rotation_problem import Problem
from tests.engine.rotations import groups, stations

SIX = Problem(groups(6), stations(4), 4, names={"G2": "Blue"})


def test_where_is_who() -> None:
    answer = plain(SIX)
    assert answer.station_of("G2", 1) == "B"
    assert answer.groups_at("B", 2) == ("G1",)
    assert answer.resting(1) == ("G5", "G6")
    assert answer.path("G5") == (None, None, "A", "B")


def test_names_stand_in_for_ids() -> None:
    assert (SIX.name("G2"), SIX.name("G3")) == ("Blue", "G3")


def test_past_and_future() -> None:
    begun = Problem(groups(6), stations(4), 4, fixed=plain(SIX).rounds[:1])
    assert begun.past("G2") == ("B",)
    assert list(begun.future) == [2, 3, 4]
