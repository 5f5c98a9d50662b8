"""Reading an answer."""

from __future__ import annotations

from dataclasses import replace

import pytest

from clubapp.engine.rotation_plain import plain
from clubapp.engine.rotation_problem import Problem, answer_of
from clubapp.engine.words import Station
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


@pytest.mark.parametrize(
    "wrong",
    [
        {"groups": ()}, {"groups": ("G1", "G1")}, {"stations": ()}, {"stations": (*stations(2), *stations(1))},
        {"rounds": 0}, {"max_hard_run": -1}, {"staffed": -1}, {"kit_owned": {"cones": -2}},
        {"stations": stations(3, groups_min=2)}, {"stations": stations(3, groups_max=0)},
        {"fixed": (tuple(zip(groups(6), "ABCDAX", strict=True)),)}, {"fixed": ((("G1", "A"),),)},
        {"fixed": (*plain(SIX).rounds, plain(SIX).rounds[0])},
    ],
)  # fmt: skip
def test_figures_out_of_range_are_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"same name|at least|numbers from 0|over names"):
        replace(SIX, **wrong)  # type: ignore[arg-type]


def test_walks_are_straight_and_nothing_where_a_place_is_not_known() -> None:
    field = Problem(
        ("G1",), (Station("A", 0.0, 0.0), Station("B", 3.0, 4.0), Station("C")), 3, closed=frozenset({("C", 2)})
    )
    assert field.walks["A", "B"] == field.walks["B", "A"] == 5000
    assert field.walks["A", "C"] == field.walks["A", "A"] == 0
    assert field.distance_counts
    assert not replace(field, least_walking=False).distance_counts
    assert not field.is_open("C", 2)
    assert field.is_open("C", 1)
    assert replace(field, stations=(Station("A", 0, 0), Station("B", 1, 1))).walks["A", "B"] == 1414
    assert field.station["B"].x_m == 3.0


def test_an_answer_from_the_groups_paths() -> None:
    answer = plain(SIX)
    assert answer_of(SIX, {group: list(answer.path(group)) for group in SIX.groups}) == answer
