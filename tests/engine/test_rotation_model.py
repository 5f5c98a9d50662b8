"""The whole model: what it finds is the best of all answers there are."""

from __future__ import annotations

import pytest

from clubapp.engine.cpsat import Proof
from clubapp.engine.limits import DEFAULT
from clubapp.engine.rotation_model import build, in_order, read, run
from clubapp.engine.rotation_problem import Answer, Problem
from clubapp.engine.rotation_room import room_of
from clubapp.engine.rotation_rules import score, settled, violations
from tests.engine.rotations import CASES, answers, groups, least, stations


@pytest.mark.parametrize("problem", CASES.values(), ids=CASES)
def test_the_best_from_nothing_and_from_a_start(problem: Problem) -> None:
    begin = next(answer for answer in answers(problem) if not violations(problem, answer))
    best = least(problem)
    for start in (None, begin):
        draft = build(problem, room_of(problem))
        done = run(draft, DEFAULT, 0, start)
        answer = settled(problem, read(draft, done))
        assert done.proof is Proof.BEST
        assert violations(problem, answer) == []
        assert score(problem, answer) == best


def test_groups_stand_in_the_order_of_their_first_stations() -> None:
    problem = Problem(groups(3), stations(2), 2)
    answer = Answer(((("G1", None), ("G2", "B"), ("G3", "A")), (("G1", "A"), ("G2", None), ("G3", "B"))))
    assert in_order(problem, answer) == {"G1": ("A", "B"), "G2": ("B", None), "G3": (None, "A")}
    past = Problem(groups(3), stations(2), 2, fixed=answer.rounds[:1])
    assert in_order(past, answer)["G1"] == (None, "A")


def test_without_aims_nothing_is_to_be_minimised() -> None:
    problem = CASES["kit and adults"]
    draft = build(problem, room_of(problem), aims=False)
    assert (draft.cost, draft.move) == ([], {})
    answer = settled(problem, read(draft, run(draft, DEFAULT, 0, None)))
    assert violations(problem, answer) == []
