"""A problem as arrays."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from clubapp.engine import fairness
from clubapp.engine.fairness import Attribute
from clubapp.engine.groups_plain import count_off
from clubapp.engine.groups_problem import Mode, Problem
from clubapp.engine.groups_table import table
from tests.strategies import EVENING, children, evening

PROBLEM = Problem(children(9, 1), EVENING, 3)


def test_values_are_weighted_deviations_the_most_unusual_child_first() -> None:
    rows = table(replace(PROBLEM, balance=(Attribute("skill", 2.0), Attribute("age"), Attribute("nothing"))))
    assert rows.values.shape == (9, 2)
    assert rows.values.mean(axis=0) == pytest.approx([0, 0])
    assert rows.values.std(axis=0) == pytest.approx([2.0, 1.0])
    far = np.abs(rows.values).sum(axis=1)
    assert (np.diff(far) <= 1e-12).all()
    assert sorted(rows.ids) == sorted(PROBLEM.ids)


def test_like_with_like_knows_ability_alone() -> None:
    rows = table(replace(PROBLEM, mode=Mode.LIKE))
    able = dict(zip(PROBLEM.ids, fairness.ability(PROBLEM.athletes, EVENING, PROBLEM.balance), strict=True))
    assert rows.values[:, 0] == pytest.approx([able[child] for child in rows.ids])
    assert (table(PROBLEM).spread, rows.spread) == (True, False)


def test_what_is_minimised_becomes_the_score() -> None:
    like = table(replace(PROBLEM, mode=Mode.LIKE))
    assert table(PROBLEM).as_score(0.7) == 0.7
    assert like.as_score(float((like.values**2).sum()) / 4) == pytest.approx(0.5)
    assert like.as_score(-1e-18) == 0.0
    assert replace(like, values=np.zeros((9, 1))).as_score(1.0) == 0.0


def test_atoms_join_chains_and_locks_that_share_a_child() -> None:
    problem = replace(PROBLEM, together=(frozenset({"c000", "c001"}),), locks=(("c001", 2), ("c005", 2), ("gone", 1)))
    rows = table(problem)
    atoms = {frozenset(rows.ids[at] for at in atom) for atom in rows.atoms}
    assert frozenset({"c000", "c001", "c005"}) in atoms
    assert len(atoms) == 7
    assert {rows.ids[at] for at in np.flatnonzero(rows.locked == 2)} == {"c001", "c005"}


def test_pairs_that_clash() -> None:
    problem = replace(
        PROBLEM,
        apart=(frozenset({"c000", "c001"}),),
        locks=(("c002", 0), ("c003", 1), ("c004", 1)),
        largest_age_gap_years=3.0,
    )
    rows = table(problem)
    born = {a.id: a.born for a in problem.athletes}
    named = {frozenset({"c000", "c001"}), frozenset({"c002", "c003"}), frozenset({"c002", "c004"})}
    for i, one in enumerate(rows.ids):
        for j, other in enumerate(rows.ids):
            first, second = born[one], born[other]
            far = first is not None and second is not None and abs((first - second).days) > 3 * 365.25
            assert rows.clash[i, j] == (far or frozenset({one, other}) in named)


def test_who_is_near_in_age_and_who_asks() -> None:
    problem = replace(PROBLEM, within_years=1.0, excused=frozenset({"c000"}), not_alone=("sex:f",), guided=True)
    rows = table(problem)
    assert not rows.near.diagonal().any()
    asking = {rows.ids[at] for at in np.flatnonzero(rows.asks_near)}
    assert asking == {a.id for a in problem.athletes if a.born is not None} - {"c000"}
    assert not table(PROBLEM).asks_near.any()
    kinds = {a.id: a.kinds for a in problem.athletes}
    assert [bool(flag) for flag in rows.kinds[0]] == ["sex:f" in kinds[child] for child in rows.ids]
    assert [bool(flag) for flag in rows.new] == ["first_timer:yes" in kinds[child] for child in rows.ids]


def test_what_pairs_cost_is_the_same_both_ways_and_strangers_cost_nothing() -> None:
    rows = table(replace(PROBLEM, met={("c000", "c001"): 2.0, frozenset({"c001", "gone"}): 9.0}))
    assert rows.met.sum() == 4.0
    assert (rows.met == rows.met.T).all()


def test_seats_and_answers_are_the_same_thing() -> None:
    problem = evening(12, 3)
    rows = table(problem)
    assert rows.answer(rows.seats(count_off(problem))) == count_off(problem)
