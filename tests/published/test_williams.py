"""Orders balanced for carry-over: Williams 1949, Aust. J. Sci. Res. A2:149–168 (citation from memory).

The square of four and the two of six are printed in a public post on designs made with the R package crossdes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import pairwise, permutations

import pytest

from clubapp.engine import designs
from tests.published.tables import rows


def follows(orders: Iterable[Sequence[int]]) -> Counter[tuple[int, int]]:
    return Counter(step for order in orders for step in pairwise(order))


@pytest.mark.parametrize("stations", range(3, 11))
def test_the_law_makes_the_table(stations: int) -> None:
    printed = [
        tuple(int(cell) for cell in row[2:]) for row in rows("williams_designs.csv")[1:] if row[0] == str(stations)
    ]
    assert list(designs.williams(stations)) == printed


def test_the_square_of_four_as_printed() -> None:
    assert ["".join(map(str, order)) for order in designs.williams(4)] == ["1243", "2314", "3421", "4132"]


@pytest.mark.parametrize("stations", range(2, 13))
def test_each_station_follows_each_other_equally_often(stations: int) -> None:
    orders = designs.williams(stations)
    assert len(orders) == stations * (1 + stations % 2)
    assert follows(orders) == Counter(dict.fromkeys(permutations(range(1, stations + 1), 2), 1 + stations % 2))
    assert all(
        sorted(column) == sorted([*range(1, stations + 1)] * (1 + stations % 2)) for column in zip(*orders, strict=True)
    )


@pytest.mark.parametrize("square", [
    "123456 241635 315264 462513 536142 654321",
    "123456 246135 362514 415263 531642 654321",
])  # fmt: skip
def test_the_two_printed_squares_of_six_are_balanced_by_the_same_measure(square: str) -> None:
    orders = [[int(letter) for letter in order] for order in square.split()]
    assert set(follows(orders).values()) == {1}
    assert len(follows(orders)) == 30


def test_everybody_one_on_is_not_balanced() -> None:
    turned = [[(start + step) % 6 + 1 for step in range(6)] for start in range(6)]
    assert sorted(follows(turned).values()) == [5] * 6
