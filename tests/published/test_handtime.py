"""Hand times against the rule on hand timing (TR19 of the technical rules, Rule 165.4 to 165.13 before 2020).

We have no copy of the rule itself: each case names where it was read. What was only remembered says so.
"""

from __future__ import annotations

from itertools import product

import pytest

from clubapp.engine.handtime import combined, rounded


@pytest.mark.parametrize(
    ("ms", "read"),
    [
        (10_110, 10_200),  # 10.11 -> 10.2: the rule's own example, from memory
        (10_100, 10_100),  # 10.10 -> 10.1: exact ones stay, from memory
        (11_120, 11_200),  # 11.12 -> 11.2: public source code that states the rule
        (12_320, 12_400),  # 12.32 -> 12.4: masterstrack.com/rankings_HvFAT.html
    ],
)
def test_up_to_the_next_tenth(ms: int, read: int) -> None:
    assert rounded(ms) == read


# The three cases: minortrack.netfirms.com/guidelines5.htm. The figures are ours.
@pytest.mark.parametrize(
    ("watches", "official"),
    [
        ((10_200, 10_200, 10_400), 10_200),  # two of three agree
        ((10_200, 10_300, 10_500), 10_300),  # all differ: the middle one
        ((10_200, 10_300), 10_300),  # only two, and they differ: the longer
    ],
)
def test_several_watches(watches: tuple[int, ...], official: int) -> None:
    assert combined(watches) == official


def test_each_watch_is_rounded_before_they_are_compared() -> None:
    """That rounding comes first is from memory. It makes no difference: rounding up keeps the order of the watches, so
    the middle one rounded is the middle of the rounded ones."""
    assert combined((10_110, 10_180, 10_310)) == 10_200
    for watches in product(range(10_080, 10_420, 13), repeat=3):
        assert combined(watches) == rounded(combined(watches, by_hand=False))
