"""The swap search, on a ground whose best is known."""

from __future__ import annotations

import numpy as np
import pytest

from clubapp.engine import search
from clubapp.engine.search import Floats, Plan

WEIGHTS = np.array([1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0])


class Balance:
    """Eight weights in two pans."""

    def features(self, groups: Floats) -> Floats:
        return (groups @ WEIGHTS)[:, None]

    def energy(self, features: Floats) -> Floats:
        energy: Floats = np.abs(features[:, 0, 0] - features[:, 1, 0])
        return energy


START = np.array([[0, 0, 0, 0, 1, 1, 1, 1]] * 4)
ALL = np.arange(8)


def test_it_finds_the_balance_and_keeps_the_sizes() -> None:
    seats, energy = search.anneal(Balance(), START, ALL, Plan(300, hot=3.0, cold=0.1), seed=1)
    assert energy == 0
    assert WEIGHTS[seats == 0].sum() == WEIGHTS[seats == 1].sum() == 18
    assert (seats == 0).sum() == 4


def test_the_energy_is_that_of_the_seats_it_gives_back() -> None:
    seats, energy = search.anneal(Balance(), START, ALL, Plan(3), seed=5)
    assert energy == abs(WEIGHTS[seats == 0].sum() - WEIGHTS[seats == 1].sum())


@pytest.mark.parametrize("seed", range(3))
def test_the_same_seed_walks_the_same_way(seed: int) -> None:
    first, again = (search.anneal(Balance(), START, ALL, Plan(20), seed) for _ in range(2))
    assert first[1] == again[1]
    assert (first[0] == again[0]).all()


def test_who_may_not_move_does_not() -> None:
    seats, energy = search.anneal(Balance(), START, np.array([0, 7]), Plan(100), seed=2)
    assert (seats[1:7] == START[0, 1:7]).all()
    assert energy == 2  # only 1 and 8 can change places: 17 against 19
    still, _ = search.anneal(Balance(), START, np.array([], dtype=np.int64), Plan(100), seed=2)
    assert (still == START[0]).all()
