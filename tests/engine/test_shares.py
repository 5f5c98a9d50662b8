"""Equal shares: never less equal than the plain way, the rules kept, and small ones held against all there are."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import designs, shares
from clubapp.engine.limits import DEFAULT, Limit
from clubapp.engine.shares import Cut, Kind, Way
from tests.strategies import examples

QUICK = Limit(deterministic=0.1)

LOADS = st.lists(st.integers(4000, 12000), min_size=4, max_size=12).map(sorted).map(tuple)


def snake(loads: tuple[int, ...], parts: int) -> np.ndarray:
    return np.array(designs.serpentine(len(loads), parts))


@given(LOADS, st.integers(2, 4), st.booleans(), st.integers(0, 9))
@examples(4)
def test_never_less_equal_than_the_plain_way(loads: tuple[int, ...], parts: int, by_mean: bool, seed: int) -> None:
    start = snake(loads, parts)
    cut = Cut(loads, tuple(np.bincount(start).tolist()), by_mean=by_mean)
    found = shares.solve(cut, start, QUICK, seed)
    assert found.way is Way.FOUND
    assert np.bincount(found.seats).tolist() == list(cut.sizes)
    assert found.bound_ms - 1e-6 <= cut.spread_ms(found.seats) <= cut.spread_ms(start) + 1e-6
    assert (found.seats == shares.solve(cut, start, QUICK, seed).seats).all()


@pytest.mark.parametrize("seed", range(2))
def test_six_in_three_pairs_is_the_best_of_all(seed: int) -> None:
    lot = np.random.default_rng(seed)
    loads = tuple(sorted(int(load) for load in lot.integers(5000, 9000, size=6)))
    cut = Cut(loads, (2, 2, 2), by_mean=False)
    best = min(cut.spread_ms(np.array(way)) for way in set(permutations([0, 0, 1, 1, 2, 2])))
    found = shares.solve(cut, snake(loads, 3), DEFAULT, seed)
    assert cut.spread_ms(found.seats) == best
    assert found.bound_ms <= best


def test_pairs_apart_and_kinds_are_kept() -> None:
    loads = tuple(range(5000, 5000 + 12 * 200, 200))
    kind = Kind((0, 1, 2, 3), (1, 1, 1), (2, 2, 2))
    cut = Cut(loads, (4, 4, 4), apart=((0, 5), (1, 2), (3, 11)), kinds=(kind,))
    found = shares.solve(cut, np.array([0] * 4 + [1] * 4 + [2] * 4), DEFAULT, 1)
    assert cut.broken(found.seats) == 0
    assert all(found.seats[one] != found.seats[other] for one, other in cut.apart)
    assert cut.broken(np.array([0] * 4 + [1] * 4 + [2] * 4)) == 2 + 1 + 1 + 1  # too many in one, none in two; 1 pair


def test_no_way_is_proven() -> None:
    triangle = ((0, 1), (0, 2), (1, 2))
    found = shares.solve(Cut((5000, 6000, 7000, 8000), (2, 2), apart=triangle), np.array([0, 1, 1, 0]), QUICK, 1)
    assert found.way is Way.NONE


def test_without_time_nothing_is_claimed() -> None:
    loads, start = (5000, 6000, 7000, 9500), np.array([0, 1, 1, 0])
    assert shares.solve(Cut(loads, (2, 2), apart=((0, 1), (0, 2), (1, 2))), start, Limit(0.0), 1).way is Way.UNKNOWN
    found = shares.solve(Cut(loads, (2, 2)), start, Limit(0.0), 1)
    assert (found.way, found.bound_ms) == (Way.FOUND, 0.0)


def test_the_solver_finds_what_the_search_does_not(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shares, "STEPS", 0)
    loads = (5000, 6000, 7000, 9000, 9500, 9900)
    cut, start = Cut(loads, (3, 3)), np.array([0, 0, 0, 1, 1, 1])
    found = shares.solve(cut, start, DEFAULT, 1)
    assert cut.spread_ms(found.seats) < cut.spread_ms(start)
    kind = Kind((4, 5), (1, 1), (1, 1))
    tied = shares.solve(Cut(loads, (3, 3), apart=((0, 1),), kinds=(kind,)), start, DEFAULT, 1)
    assert tied.seats[0] != tied.seats[1]
    assert tied.seats[4] != tied.seats[5]
