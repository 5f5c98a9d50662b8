from __future__ import annotations

import pytest

from clubapp.engine.heats_problem import Heat, Problem, means
from tests.strategies import runners

FIELD = runners(5, 1)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"runners": ()}, "need children"),
        ({"runners": (FIELD[0], FIELD[0])}, "once"),
        ({"lanes": 0, "heats": 2}, "lane"),
        ({"heats": 6}, "as many children"),
        ({"heats": 1}, "do not fit"),
        ({"apart": (frozenset({"c000"}),)}, "a pair"),
        ({"apart": (frozenset({"c000", "nobody"}),)}, "a pair"),
    ],
)
def test_what_makes_no_sense_is_refused(wrong: dict[str, object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Problem(**{"runners": FIELD, "lanes": 4, **wrong})  # type: ignore[arg-type]


def test_as_few_heats_as_the_lanes_allow_and_ranks_by_time_or_as_given() -> None:
    assert (Problem(FIELD, 4).count, Problem(FIELD, 5).count, Problem(FIELD, 5, heats=2).count) == (2, 1, 2)
    assert [one.ms for one in Problem(FIELD, 4).order] == sorted(one.ms for one in FIELD)
    assert Problem(FIELD, 4, ranked=True).order == FIELD


def test_a_heat_s_children_and_its_mean() -> None:
    assert Heat(((2, "c001"), (3, "c000"))).ids == ("c001", "c000")
    assert means(Problem(FIELD, 4), [["c000", "c001"]]) == [(FIELD[0].ms + FIELD[1].ms) / 2]
