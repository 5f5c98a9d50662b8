"""Berger tables: FIDE Handbook C.05 Annex 1, as printed to 14 players at c.w.fox.tripod.com/chess/berger.html.

The sides' least possible number of repeats, players − 2, is de Werra's (1981), from memory.
"""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest

from clubapp.engine import designs
from tests.published.tables import numbers

SIZES = range(4, 25, 2)


@pytest.mark.parametrize("players", SIZES)
def test_the_law_makes_the_printed_table_board_by_board_and_side_by_side(players: int) -> None:
    printed = [
        (turn, first, second) for size, turn, _, first, second in numbers("berger_tables.csv") if size == players
    ]
    made = [(turn, *pair) for turn, pairs in enumerate(designs.berger(players), start=1) for pair in pairs]
    assert made == printed


def test_the_table_of_six_as_the_handbook_prints_it() -> None:
    printed = "1-6 2-5 3-4 | 6-4 5-3 1-2 | 2-6 3-1 4-5 | 6-5 1-4 2-3 | 3-6 4-2 5-1"
    made = " | ".join(" ".join(f"{a}-{b}" for a, b in turn) for turn in designs.berger(6))
    assert made == printed


@pytest.mark.parametrize("players", SIZES)
def test_everybody_meets_everybody_once_and_plays_once_a_round(players: int) -> None:
    rounds = designs.berger(players)
    met = [frozenset(pair) for turn in rounds for pair in turn]
    assert sorted(map(sorted, met)) == [list(pair) for pair in combinations(range(1, players + 1), 2)]
    assert all(sorted(player for pair in turn for player in pair) == list(range(1, players + 1)) for turn in rounds)


@pytest.mark.parametrize("players", SIZES)
def test_sides_are_as_even_as_can_be(players: int) -> None:
    rounds = designs.berger(players)
    firsts = [sum(player == pair[0] for turn in rounds for pair in turn) for player in range(1, players + 1)]
    assert firsts == [players // 2] * (players // 2) + [players // 2 - 1] * (players // 2)
    sides = [[any(player == pair[0] for pair in turn) for turn in rounds] for player in range(1, players + 1)]
    assert sum(a == b for row in sides for a, b in pairwise(row)) == players - 2


def test_with_an_odd_number_one_has_a_bye() -> None:
    assert designs.berger(5) == designs.berger(6)


def test_one_alone_has_nobody_to_meet() -> None:
    with pytest.raises(ValueError, match="at least two"):
        designs.berger(1)
