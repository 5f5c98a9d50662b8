"""Everybody moves one on."""

from __future__ import annotations

from dataclasses import replace

from clubapp.engine.rotation_plain import cyclic, plain
from clubapp.engine.rotation_problem import Problem
from clubapp.engine.rotation_rules import violations
from tests.engine.rotations import groups, stations


def test_one_on_in_the_order_given_or_in_another() -> None:
    problem = Problem(groups(3), stations(3), 3)
    assert plain(problem).path("G1") == ("A", "B", "C")
    assert plain(problem).path("G3") == ("C", "A", "B")
    assert cyclic(problem, ["B", "A", "C"]).path("G1") == ("B", "A", "C")
    assert violations(problem, plain(problem)) == []


def test_more_groups_than_stations_go_together_where_all_take_so_many_and_else_rest_in_turn() -> None:
    together = Problem(groups(4), stations(2, groups_max=2), 2)
    assert plain(together).groups_at("A", 1) == ("G1", "G3")
    assert violations(together, plain(together)) == []
    alone = replace(together, stations=stations(2))
    assert [plain(alone).resting(turn) for turn in (1, 2)] == [("G3", "G4"), ("G2", "G3")]
    assert violations(alone, plain(alone)) == []
