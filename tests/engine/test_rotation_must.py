"""What every rotation must keep: the model without aims has an answer exactly where there is one."""

from __future__ import annotations

from dataclasses import replace

import pytest

from clubapp.engine import cpsat
from clubapp.engine import rotation_must as must
from clubapp.engine.cpsat import Proof
from clubapp.engine.limits import DEFAULT
from clubapp.engine.rotation_draft import Draft
from clubapp.engine.rotation_model import build, read
from clubapp.engine.rotation_problem import Problem
from clubapp.engine.rotation_room import room_of
from clubapp.engine.rotation_rules import settled, violations
from tests.engine.rotations import CASES, groups, least, stations

CLASH = {
    "kit": replace(CASES["kit and adults"], kit_owned={"cones": 4}),
    "adults": replace(CASES["kit and adults"], staffed=1),
    "hard stations": Problem(groups(2), stations(2, hard=True), 2, max_hard_run=1),
    "an odd number at games": Problem(groups(3), stations(2, groups_min=2, groups_max=2), 2),
    "rounds": Problem(groups(2), stations(2), 3),
}


@pytest.mark.parametrize("problem", [*CASES.values(), *CLASH.values()], ids=[*CASES, *CLASH])
def test_an_answer_exactly_where_there_is_one(problem: Problem) -> None:
    draft = build(problem, room_of(problem), aims=False)
    done = cpsat.run(draft.model, DEFAULT)
    assert done.found == (least(problem) is not None)
    if done.found:
        assert violations(problem, settled(problem, read(draft, done))) == []
    else:
        assert done.proof is Proof.NONE


def test_each_group_is_at_one_place_a_round_and_nothing_is_asked_of_the_past() -> None:
    problem = CASES["who met and walked before"]
    draft = Draft(problem, room_of(problem), cpsat.new_model())
    must.places(draft)
    assert {(group, turn) for group, turn, _ in draft.at} == {("G1", 3), ("G2", 3)}
    assert {station for group, _, station in draft.at if group == "G1"} == {"C"}
