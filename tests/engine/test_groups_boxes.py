"""Boxes hold what they say, lie on the lattice of the values, and the sets in them are all there are."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest

from clubapp.engine.fairness import Attribute
from clubapp.engine.groups_boxes import Box, Lattice, boxes, can_be_listed, lattice, runs, sets_in
from clubapp.engine.groups_ground import Ground
from clubapp.engine.groups_problem import Problem
from clubapp.engine.groups_table import Floats, Table, table
from clubapp.engine.limits import DEFAULT, Allowance
from clubapp.engine.words import Athlete
from tests.strategies import EVENING, children, evening


def all_sets(rows: Table, size: int) -> Floats:
    """Every set of a size, a row of 0 and 1."""
    sets = np.zeros((0, len(rows.ids)))
    chosen = list(combinations(range(len(rows.ids)), size))
    sets = np.zeros((len(chosen), len(rows.ids)))
    for at, members in enumerate(chosen):
        sets[at, list(members)] = 1.0
    return sets


def test_a_box_holds_what_lies_in_it() -> None:
    box = Box(np.array([-0.1, 0.0]), np.array([0.2, 0.0]))
    assert box.score == pytest.approx(0.3)
    assert box.holds(np.array([[0.2, 0.0], [-0.1, 0.0], [0.21, 0.0], [0.0, 0.01], [-0.2, 0.0]])).tolist() == [
        True,
        True,
        False,
        False,
        False,
    ]


@pytest.mark.parametrize("size", [3, 4])
def test_means_of_groups_lie_on_the_lattice_and_on_both_sides_of_0(size: int) -> None:
    rows = table(Problem(children(12), EVENING, 12 // size))
    means, found = all_sets(rows, size) @ rows.values / size, lattice(rows, size)
    off = (means - found.above) / found.steps
    assert np.abs(off - off.round()).max() < 1e-5
    assert (found.least.low <= 0).all()
    assert (found.least.high >= 0).all()
    assert (found.least.widths <= found.steps + 1e-12).all()
    inside = (means > found.least.low + 1e-9) & (means < found.least.high - 1e-9)
    assert not inside.any()


def test_what_does_not_vary_or_weighs_nothing_has_no_lattice() -> None:
    balance = (Attribute("speed_s"), Attribute("same"), Attribute("skill", 0.0))
    squad = tuple(replace(child, values={**child.values, "same": 3.0}) for child in children(12))
    rows = table(Problem(squad, EVENING, 3, balance=balance))
    assert lattice(rows, 4).steps.shape == (1,)


def test_about_as_many_sets_as_expected_lie_in_a_box() -> None:
    rows = table(Problem(children(24), EVENING, 6))
    found = lattice(rows, 4)
    box = boxes([found], 0.8, 1e9)[-1]
    there = box.holds(all_sets(rows, 4) @ rows.values / 4).sum()
    assert found.sets(box) / 3 < there < found.sets(box) * 3


def test_boxes_grow_round_one_another_until_they_hold_enough() -> None:
    rows = table(Problem(children(24), EVENING, 6))
    found = [lattice(rows, 4)]
    path = boxes(found, 1.0, 500)
    for one, other in pairwise(path):
        assert (other.low <= one.low).all()
        assert (other.high >= one.high).all()
        assert other.score > one.score
    assert found[0].sets(path[-1]) <= 500 < found[0].sets(boxes(found, 1.0, 5000)[-1])
    assert path[-1].score < 1.0
    assert boxes(found, 1e-9, 500) == []


def test_a_box_grows_on_both_sides_of_0_at_once() -> None:
    """From 0 one side alone would only hold groups whose means cannot come out at 0."""
    even = Lattice(np.array([0.1, 0.0]), np.array([0.0, 0.0]), 1.0)
    path = boxes([even], 0.5, 1e9)
    assert all(box.low[0] == pytest.approx(-box.high[0]) for box in path)
    assert path[-1].widths[0] == pytest.approx(0.2)
    assert path[-1].widths[1] > 0.2


def test_a_box_of_two_sizes_holds_means_of_both() -> None:
    rows = table(Problem(children(13), EVENING, 4))
    both = [lattice(rows, size) for size in (3, 4)]
    first = boxes(both, 9.0, 1e9)[0]
    for means in both:
        assert (first.low <= means.least.low).all()
        assert (first.high >= means.least.high).all()


@pytest.mark.parametrize("balance", [("speed_s",), ("skill",), ("speed_s", "skill"), ("speed_s", "age", "skill")])
@pytest.mark.parametrize("size", [2, 3, 5])
def test_all_sets_in_a_box_are_listed_once(size: int, balance: tuple[str, ...]) -> None:
    problem = replace(evening(15, 5, seed=4), balance=tuple(map(Attribute, balance)))
    rows = table(problem)
    ground, wide = Ground(rows, 0), len(balance)
    box = Box(np.full(wide, -0.4), np.full(wide, 0.3))
    allowance = Allowance(DEFAULT)
    found = sets_in(ground, size, box, allowance)
    every = all_sets(rows, size)
    expected = every[box.holds(every @ rows.values / size) & (ground.broken(every) == 0)]
    assert len(expected) > 0
    assert sorted(map(tuple, found.astype(float).tolist())) == sorted(map(tuple, expected.tolist()))
    assert allowance.spent > 0


def test_sums_on_the_edge_of_a_box_are_in_it() -> None:
    """Stars come out at exactly the edges of the smallest box."""
    squad = tuple(Athlete(f"c{at:02}", {"skill": float(at % 5), "speed_s": 7 + at / 10}) for at in range(14))
    rows = table(Problem(squad, EVENING, 2, balance=(Attribute("skill"), Attribute("speed_s"))))
    least = lattice(rows, 7).least
    box = Box(np.array([least.low[0], -0.3]), np.array([least.high[0], 0.3]))
    every = all_sets(rows, 7)
    means = every @ rows.values / 7
    close = (means[:, 0] > least.low[0] - 1e-6) & (means[:, 0] < least.high[0] + 1e-6) & (np.abs(means[:, 1]) < 0.3)
    assert len(sets_in(Ground(rows, 0), 7, box, Allowance(DEFAULT))) == close.sum() > 0


def test_sets_are_listed_where_their_halves_can_be_sorted() -> None:
    assert can_be_listed(120, [6, 5])
    assert not can_be_listed(240, [10])
    assert not can_be_listed(120, [6, 7])
    assert not can_be_listed(6, [1])


def test_runs_begin_where_they_should() -> None:
    assert runs(np.array([3, 7, 1]), np.array([2, 0, 3])).tolist() == [3, 4, 1, 2, 3]
