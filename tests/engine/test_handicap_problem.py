from __future__ import annotations

import math

import pytest

from clubapp.engine.handicap_problem import Answer, How, Problem, chances, finishes, too_early
from tests.strategies import runners

FIELD = runners(3, 1)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"runners": FIELD[:1]}, "two children"),
        ({"runners": (FIELD[0], FIELD[0])}, "once"),
        ({"new": frozenset({"nobody"})}, "once"),
        ({"step": 0}, "step"),
        ({"front": -1}, "first count"),
        ({"how": How.METRES}, "distance"),
    ],
)
def test_what_makes_no_sense_is_refused(wrong: dict[str, object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Problem(**{"runners": FIELD, **wrong})  # type: ignore[arg-type]


def test_a_count_adds_and_metres_shorten() -> None:
    marks = {"c000": 0, "c001": 2000, "c002": 10_000}
    own = [one.likely.median_s for one in FIELD]
    assert finishes(Problem(FIELD), marks) == pytest.approx([own[0], own[1] + 2, own[2] + 10])
    metres = Problem(FIELD, How.METRES, distance_mm=40_000)
    assert finishes(metres, marks) == pytest.approx([own[0], 0.95 * own[1], 0.75 * own[2]])
    assert metres.starts(marks)[2] == pytest.approx(math.log(0.75))


def test_a_new_child_is_early_against_the_middle_of_the_others() -> None:
    marks = {"c000": 0, "c001": 5000, "c002": 5000}
    assert too_early(Problem(FIELD, new=frozenset({"c000"})), marks) == ["c000"]
    assert too_early(Problem(FIELD, new=frozenset({"c001"})), marks) == []
    assert too_early(Problem(FIELD, new=frozenset(marks)), marks) == []


def test_chances_by_name() -> None:
    found = chances(Problem(FIELD), Answer((("c000", 0), ("c001", 30_000), ("c002", 30_000))))
    assert found["c000"] == pytest.approx(1.0, abs=1e-5)
