from __future__ import annotations

import pytest

from clubapp.engine.chase_problem import Child, Field, Kind, Problem, area, due_back
from tests.strategies import runners

CHILDREN = tuple(Child(one) for one in runners(4, 1))


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"children": CHILDREN[:2]}, "three children"),
        ({"children": (*CHILDREN, CHILDREN[0])}, "nobody twice"),
        ({"chasers": 0}, "somebody"),
        ({"seconds": 30}, "a spell at least"),
        ({"gap_years": 0.0}, "above 0"),
        ({"back_s": 61}, "back within 60 s"),
        ({"back_s": 0}, "back within 60 s"),
    ],
)
def test_what_makes_no_sense_is_refused(wrong: dict[str, object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Problem(**{"children": CHILDREN, **wrong})  # type: ignore[arg-type]


def test_spells_that_fit_and_who_is_out() -> None:
    assert Problem(CHILDREN, seconds=480).most_spells == 8
    assert Problem(CHILDREN, seconds=45).most_spells == 1
    assert [Problem(CHILDREN, kind).eliminates for kind in Kind] == [False, False, False, True]
    assert Problem(CHILDREN).of["c001"] is CHILDREN[1]
    assert Field(("a", "b"), (("a",), ("a",))).turns == {"a": 2, "b": 0}


def test_room_grows_with_number_and_age_and_says_where_it_comes_from() -> None:
    small, large = area(12, 8.0), area(12, 14.0)
    assert small.length_m * small.width_m < large.length_m * large.width_m
    assert (area(24, 11.0).length_m, area(24, 11.0).width_m) == (35, 24)
    assert (area(3, 7.0).length_m, area(3, 7.0).width_m) == (12, 8)
    assert "rule of thumb" in small.words


def test_a_child_is_back_when_the_time_is_over() -> None:
    out = {"a": 100, "b": 90, "c": 130}
    assert due_back(60, out, 160) == ("b", "a")
    assert due_back(None, out, 900) == ()
