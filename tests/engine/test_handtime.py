"""Times taken by hand: rounded up, several watches made one, never by way of floating seconds."""

from __future__ import annotations

import json
import math
from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.handtime import combined, rounded, text, up_to
from tests.strategies import examples

VECTORS = json.loads((Path(__file__).parents[1] / "vectors/handtime.json").read_text())
TIMES = st.integers(1, 4_000_000)


@pytest.mark.parametrize(("ms", "expected"), VECTORS["rounded"])
def test_rounded(ms: int, expected: int) -> None:
    assert rounded(ms) == expected


@pytest.mark.parametrize(("watches", "by_hand", "expected"), VECTORS["combined"])
def test_combined(watches: list[int], by_hand: bool, expected: int) -> None:
    assert combined(watches, by_hand=by_hand) == expected


@pytest.mark.parametrize(("ms", "by_hand", "expected"), VECTORS["text"])
def test_text(ms: int, by_hand: bool, expected: str) -> None:
    assert text(ms, by_hand=by_hand) == expected


def test_without_a_watch_there_is_no_time() -> None:
    with pytest.raises(ValueError, match="no watch"):
        combined([])


def test_a_difference_of_two_moments_is_not_spoilt_by_floating_seconds() -> None:
    assert math.ceil((12.3 - 2.1) * 10) == 103  # the trap
    assert rounded(12_300 - 2_100) == 10_200


@examples(30)
@given(TIMES, st.sampled_from((10, 100, 1000)))
def test_up_is_the_nearest_whole_step_that_is_not_below(ms: int, step: int) -> None:
    up = up_to(ms, step)
    assert up % step == 0
    assert ms <= up < ms + step


@examples(30)
@given(st.lists(TIMES, min_size=1, max_size=6), st.booleans())
def test_the_order_of_the_watches_does_not_matter_and_one_of_them_is_the_answer(watches: list[int], hand: bool) -> None:
    answer = combined(watches, by_hand=hand)
    assert answer in [rounded(ms) if hand else ms for ms in watches]
    assert {combined(order, by_hand=hand) for order in permutations(watches[:4])} == {
        combined(watches[:4], by_hand=hand)
    }


@examples(30)
@given(TIMES, TIMES, st.booleans())
def test_of_two_times_the_longer_never_reads_shorter(one: int, two: int, hand: bool) -> None:
    def seconds(ms: int) -> float:
        *minutes, rest = text(ms, by_hand=hand).split(":")
        return 60 * int(minutes[0] if minutes else 0) + float(rest)

    low, high = sorted((one, two))
    assert seconds(low) <= seconds(high)
    assert seconds(high) * 1000 >= high - 1e-6
