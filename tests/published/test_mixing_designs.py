"""Rounds in which no two meet twice.

Affine planes of order 3, 4 and 5; 32 in fours over nine rounds: CSPLib problem 010, results/9weeksol.txt; 24 and 28
were found by search and are checked here pair by pair. There cannot be more than floor((players − 1) / (size − 1))
rounds.
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import pytest

from clubapp.engine import designs
from tests.published.tables import rows

# groups, size: rounds, pairs that never meet.
KNOWN = {
    (3, 3): (4, 0),
    (4, 4): (5, 0),
    (5, 5): (6, 0),
    (5, 3): (7, 0),
    (5, 4): (5, 40),
    (6, 4): (7, 24),
    (8, 3): (11, 12),
    (7, 4): (9, 0),
    (8, 4): (9, 64),
    (12, 2): (23, 0),
}


def met(rounds: tuple[designs.Round, ...]) -> Counter[frozenset[int]]:
    return Counter(frozenset(pair) for turn in rounds for group in turn for pair in combinations(group, 2))


def kept(groups: int, size: int) -> list[set[frozenset[int]]]:
    rounds: dict[int, set[frozenset[int]]] = {}
    for name, turn, _, *members in rows("group_rotation_designs.csv"):
        if name.startswith(f"{groups * size}p_groups{size}_"):
            rounds.setdefault(int(turn), set()).add(frozenset(map(int, members)))
    return list(rounds.values())


@pytest.mark.parametrize(("groups", "size"), [shape for shape in KNOWN if shape[1] > 2])
def test_the_law_makes_the_table(groups: int, size: int) -> None:
    made = [{frozenset(group) for group in turn} for turn in designs.mixing(groups, size)]
    assert made == kept(groups, size)
    assert made


@pytest.mark.parametrize(("groups", "size"), KNOWN)
def test_nobody_meets_twice_and_so_many_pairs_never(groups: int, size: int) -> None:
    rounds, never = KNOWN[groups, size]
    made = designs.mixing(groups, size)
    players = groups * size
    assert len(made) == rounds <= (players - 1) // (size - 1)
    assert set(met(made).values()) == {1}
    assert players * (players - 1) // 2 - len(met(made)) == never


@pytest.mark.parametrize("size", range(2, 8))
def test_whatever_is_made_is_sound(size: int) -> None:
    for groups in range(2, 14):
        for turn in (made := designs.mixing(groups, size)):
            assert sorted(number for group in turn for number in group) == list(range(1, groups * size + 1))
            assert {len(group) for group in turn} == {size}
        assert set(met(made).values()) <= {1}


def test_the_eight_triples_of_24_that_never_meet_make_one_more_round() -> None:
    extra = "1-8-15 | 2-9-16 | 3-10-17 | 4-11-18 | 5-12-19 | 6-13-20 | 7-14-21 | 22-23-24"
    triples = tuple(tuple(map(int, group.split("-"))) for group in extra.split(" | "))
    every = met((*designs.mixing(6, 4), triples))
    assert len(every) == 276
    assert set(every.values()) == {1}


def test_where_groups_are_larger_than_many_no_table_can_be() -> None:
    assert designs.mixing(4, 6) == ()
    assert designs.mixing(6, 5) == ()
