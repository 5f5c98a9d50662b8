"""The model's variables: who can be where."""

from __future__ import annotations

from clubapp.engine.rotation_draft import Draft
from clubapp.engine.rotation_problem import Problem
from clubapp.engine.rotation_room import room_of
from tests.engine.rotations import groups, stations


def test_only_what_can_be_is_named() -> None:
    problem = Problem(groups(2), stations(2), 2)
    draft = Draft(problem, room_of(problem), None)
    draft.at = {
        ("G1", 1, "A"): "G1 at A",
        ("G2", 1, "A"): "G2 at A",
        ("G1", 1, "B"): "G1 at B",
        ("G1", 2, "A"): "later",
    }
    assert draft.there(1, "A") == ["G1 at A", "G2 at A"]
    assert draft.there(2, "B") == []
    assert draft.choices("G1", 1) == ["G1 at A", "G1 at B"]
    assert draft.choices("G2", 2) == []
