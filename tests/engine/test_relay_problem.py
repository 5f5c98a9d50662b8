from __future__ import annotations

import pytest

from clubapp.engine.relay_problem import Answer, Problem, totals, turn
from tests.strategies import runners

FIELD = runners(5, 1)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"teams": 1}, "two teams"),
        ({"teams": 6}, "two teams"),
        ({"runners": (FIELD[0], FIELD[0])}, "nobody twice"),
        ({"first_timers": frozenset({"nobody"})}, "must be here"),
        ({"once": frozenset({"nobody"})}, "must be here"),
        ({"apart": (frozenset({"c000"}),)}, "must be here"),
    ],
)
def test_what_makes_no_sense_is_refused(wrong: dict[str, object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        Problem(**{"runners": FIELD, **wrong})  # type: ignore[arg-type]


def test_legs_and_short_teams() -> None:
    assert (Problem(FIELD, 2).legs, Problem(FIELD, 2).short) == (3, 1)
    assert (Problem(FIELD, 5).legs, Problem(FIELD, 5).short) == (1, 0)
    assert [one.ms for one in Problem(FIELD).by_speed] == sorted(one.ms for one in FIELD)


def test_who_runs_twice_counts_twice() -> None:
    problem = Problem(FIELD, 2)
    answer = Answer((("c000", "c001", "c002"), ("c003", "c004", "c003")))
    own = problem.own
    assert answer.twice == ("c003",)
    assert totals(problem, answer) == [own["c000"] + own["c001"] + own["c002"], 2 * own["c003"] + own["c004"]]


def test_first_timers_come_last_in_turn() -> None:
    problem = Problem(FIELD, first_timers=frozenset({"c000"}), twice_before={"c001": 2})
    assert sorted(["c000", "c001", "c002"], key=lambda child: turn(problem, child)) == ["c002", "c001", "c000"]
