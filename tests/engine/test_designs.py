"""The tables at their edges; the published figures are checked in tests/published."""

from __future__ import annotations

import pytest

from clubapp.engine import designs


@pytest.mark.parametrize(
    ("groups", "size", "rounds"),
    [(4, 3, 4), (5, 3, 7), (6, 4, 7), (7, 3, 7), (3, 3, 4), (6, 2, 11), (6, 5, 0), (2, 3, 0)],
)
def test_how_many_rounds_there_are(groups: int, size: int, rounds: int) -> None:
    assert len(designs.mixing(groups, size)) == rounds


def test_a_round_robin_of_two_is_one_meeting() -> None:
    assert designs.berger(2) == (((1, 2),),)
    with pytest.raises(ValueError, match="two players"):
        designs.berger(0)


def test_an_even_square_has_as_many_orders_as_stations_and_an_odd_one_twice_as_many() -> None:
    assert designs.williams(1) == ((1,), (1,))
    assert [len(designs.williams(count)) for count in (2, 3, 6, 7)] == [2, 6, 6, 14]


def test_the_player_who_stays_is_the_last() -> None:
    assert all(any(24 in side for side in turn[0]) for turn in designs.whist(24))
    with pytest.raises(ValueError, match="no table"):
        designs.whist(28)


def test_a_snake_turns_at_its_ends() -> None:
    assert designs.serpentine(7, 3) == (0, 1, 2, 2, 1, 0, 0)
    assert designs.serpentine(2, 1) == (0, 0)
