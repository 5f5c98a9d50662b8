from __future__ import annotations

import random
from dataclasses import replace

import numpy as np

from clubapp.engine import recut
from clubapp.engine.shares import Cut, Kind

LOADS = tuple(5000 + 137 * (at * 7 % 24) for at in range(24))
START = np.array([at % 4 for at in range(24)])
CUT = Cut(LOADS, (6, 6, 6, 6), by_mean=False)


def test_parts_come_out_within_a_breath_and_the_same_from_a_seed() -> None:
    found = recut.settled(CUT, START, 1)
    assert sorted(np.bincount(found)) == [6, 6, 6, 6]
    assert CUT.spread_ms(found) <= 20 < CUT.spread_ms(START)
    assert (found == recut.settled(CUT, START, 1)).all()


def test_rules_that_the_start_breaks_are_mended() -> None:
    """Eight who should be two in each part start in two parts; two pairs who should be apart start together."""
    cut = replace(CUT, apart=((0, 4), (1, 5)), kinds=(Kind((0, 4, 8, 12, 1, 5, 9, 13), (2,) * 4, (2,) * 4),))
    assert cut.broken(START) > 0
    found = recut.settled(cut, START, 2)
    assert cut.broken(found) == 0
    assert cut.spread_ms(found) <= 20


def test_parts_too_large_to_be_cut_in_every_way_are_cut_by_lot() -> None:
    """A pair whose members are not drawn counts all the same."""
    cut = replace(CUT, sizes=(12, 12), apart=((0, 2), (1, 3)))
    found = recut.settled(cut, START % 2, 3)
    assert sorted(np.bincount(found)) == [12, 12]
    assert cut.broken(found) == 0
    assert cut.spread_ms(found) <= 20


def test_equal_parts_stay_as_they_are() -> None:
    cut = Cut((5000,) * 4, (2, 2), by_mean=False)
    start = np.array([0, 1, 0, 1])
    assert (recut.settled(cut, start, 1) == start).all()


def test_what_one_settling_leaves_is_shaken() -> None:
    """Loads of which no cut is within a hair: it goes on, and never to anything worse."""
    cut = Cut((100, 200, 400, 800, 1600, 3200), (2, 2, 2), by_mean=False)
    start = np.array([0, 0, 1, 1, 2, 2])
    once = recut._Work(cut, random.Random("pairs 1")).settle(start)
    found = recut.settled(cut, start, 1)
    assert recut.ENOUGH_MS < cut.spread_ms(found) <= cut.spread_ms(once) <= cut.spread_ms(start)
    shaken = recut._shaken(start, random.Random(1))
    assert sorted(shaken) == sorted(start)
