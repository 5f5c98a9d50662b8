"""What a rotation is judged by: the model's own objective is the score in millimetres."""

from __future__ import annotations

from dataclasses import replace

import pytest

from clubapp.engine import cpsat
from clubapp.engine.limits import DEFAULT
from clubapp.engine.rotation_model import build, read
from clubapp.engine.rotation_problem import Problem
from clubapp.engine.rotation_room import room_of
from clubapp.engine.rotation_rules import score, settled, violations
from clubapp.engine.words import Station
from tests.engine.rotations import CASES, groups, least, stations

UNEVEN = Problem(groups(2), stations(2), 2, closed=frozenset({("A", 1)}), fixed=((("G1", None), ("G2", "A")),))
MIXED = Problem(groups(2), (Station("A", groups_max=2), Station("B")), 2)
AIMS = {
    **CASES,
    "one station for two": MIXED,
    "a rest before": UNEVEN,
    "no meetings counted": replace(CASES["games for two"], meet_once=False),
}


@pytest.mark.parametrize("problem", AIMS.values(), ids=AIMS)
def test_the_objective_is_the_score(problem: Problem) -> None:
    draft = build(problem, room_of(problem))
    done = cpsat.run(draft.model, DEFAULT, linear=2)
    best = least(problem)
    assert done.found == (best is not None)
    if best is None:
        return
    answer = settled(problem, read(draft, done))
    assert violations(problem, answer) == []
    assert score(problem, answer) == best
    assert done.objective / 1000 == pytest.approx(best if any(amount for amount, _ in draft.cost) else 0.0)
