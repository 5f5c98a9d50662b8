"""The tree finds a cover whenever there is one, and none that there is not."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import numpy as np
import pytest

from clubapp.engine.groups_boxes import Box
from clubapp.engine.groups_table import Flags, Floats
from clubapp.engine.groups_tree import Tree, Wood, bits

WIDE = Box(np.array([-9.0]), np.array([9.0]))


def wood(sets: Flags, room: dict[int, int], values: Floats | None = None, box: Box = WIDE) -> Wood:
    return Wood(sets, np.zeros((sets.shape[1], 1)) if values is None else values, Counter(room), box)


def covers(sets: Flags, number: int) -> list[tuple[int, ...]]:
    """All choices of so many sets that cover every child once."""
    return [rows for rows in combinations(range(len(sets)), number) if (sets[list(rows)].sum(axis=0) == 1).all()]


@pytest.mark.parametrize("seed", range(12))
def test_a_cover_is_found_exactly_where_there_is_one(seed: int) -> None:
    lot = np.random.default_rng(seed)
    sets = np.zeros((30, 9), dtype=bool)
    for row in sets:
        row[lot.choice(9, size=3, replace=False)] = True
    found = Tree(wood(sets, {3: 3}), 1e6).cover()
    expected = covers(sets, 3)
    assert (found is None) == (not expected)
    assert found is None or tuple(sorted(found)) in expected


def test_there_are_no_more_groups_of_a_size_than_there_is_room_for() -> None:
    """Two threes and a two, or four twos: which of them depends on the room."""
    sets = np.zeros((7, 8), dtype=bool)
    for row, members in enumerate([(0, 1), (2, 3), (4, 5), (6, 7), (0, 1, 2), (3, 4, 5), (5, 6, 7)]):
        sets[row, list(members)] = True
    assert sorted(Tree(wood(sets, {2: 1, 3: 2}), 1e6).cover() or []) == [3, 4, 5]
    assert sorted(Tree(wood(sets, {2: 4, 3: 0}), 1e6).cover() or []) == [0, 1, 2, 3]
    assert Tree(wood(sets, {2: 3, 3: 1}), 1e6).cover() is None


def test_a_tree_without_time_says_that_it_has_not_seen_everything() -> None:
    sets = np.zeros((9, 9), dtype=bool)
    for row in range(9):
        sets[row, [row, (row + 1) % 9, (row + 2) % 9]] = True
    enough, short = Tree(wood(sets, {3: 3}), 100), Tree(wood(sets, {3: 3}), 2)
    assert enough.cover() is not None
    assert enough.whole
    assert short.cover() is None
    assert not short.whole


def test_a_value_with_two_means_leaves_room_for_so_many_of_each() -> None:
    """Sets above the mean use it up: what is left must still come out inside the box."""
    values = np.array([[1.0], [1.0], [-1.0], [-1.0], [0.0], [0.0]])
    sets = np.array([[1, 1, 0, 0, 0, 0], [0, 0, 1, 1, 0, 0], [0, 0, 0, 0, 1, 1]], dtype=bool)
    tree = Tree(wood(sets[:2], {2: 3}, values, Box(np.array([-1.0]), np.array([1.0]))), 1e6)
    assert tree.balanced((2.0,), 2)
    assert not tree.balanced((2.5,), 2)
    assert not tree.balanced((-2.5,), 2)
    many = np.array([[1, 1, 0, 0], [0, 0, 1, 1], [1, 0, 1, 0], [0, 1, 0, 1]], dtype=bool)
    uneven = np.array([[3.0], [3.0], [-3.0], [-3.0]])
    assert sorted(Tree(wood(many, {2: 2}, uneven, Box(np.array([-3.0]), np.array([3.0]))), 99).cover() or []) == [2, 3]
    assert Tree(wood(many[:2], {2: 2}, uneven, Box(np.array([-1.0]), np.array([1.0]))), 99).cover() is None


def test_bits_stand_where_the_flags_do() -> None:
    assert bits(np.array([[True, False, True], [False, False, False]])) == [5, 0]
