"""Two against two, everyone with everyone once and against everyone twice: whist tournaments Wh(v).

That they exist for every v ≡ 0 or 1 (mod 4): Haanpää & Kaski 2005. The tables were made from cyclic starters found by
search and checked here again in full.
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations, product

import pytest

from clubapp.engine import designs
from tests.published.tables import numbers

SIZES = (4, 8, 12, 16, 20, 24)


@pytest.mark.parametrize("players", SIZES)
def test_the_starter_makes_the_table(players: int) -> None:
    kept = [(r, court, a, b, c, d) for size, r, court, a, b, c, d in numbers("whist_designs.csv") if size == players]
    made = [
        (turn, court, *first, *second)
        for turn, games in enumerate(designs.whist(players), start=1)
        for court, (first, second) in enumerate(games, start=1)
    ]
    assert made == kept


@pytest.mark.parametrize("players", SIZES)
def test_partners_once_opponents_twice(players: int) -> None:
    games = [game for turn in designs.whist(players) for game in turn]
    pairs = [frozenset(pair) for pair in combinations(range(1, players + 1), 2)]
    assert Counter(frozenset(side) for game in games for side in game) == Counter(dict.fromkeys(pairs, 1))
    assert Counter(frozenset(p) for one, two in games for p in product(one, two)) == Counter(dict.fromkeys(pairs, 2))


@pytest.mark.parametrize("players", SIZES)
def test_everybody_plays_in_every_round(players: int) -> None:
    for turn in designs.whist(players):
        assert sorted(player for game in turn for side in game for player in side) == list(range(1, players + 1))


def test_eight_written_out() -> None:
    first = designs.whist(8)[0]
    assert first == (((8, 1), (2, 4)), ((3, 7), (5, 6)))


def test_a_number_without_a_table_is_refused() -> None:
    with pytest.raises(ValueError, match="for 10"):
        designs.whist(10)
