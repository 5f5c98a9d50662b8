"""Exchanges in one round: what is kept up step by step is what it would be reckoned anew."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from clubapp.engine.mixing import Aim, Problem
from clubapp.engine.mixing_ground import ground_of
from clubapp.engine.mixing_search import STRICT, _begun, _Chains, _drawn, searched
from tests.engine.test_mixing import DAY, children
from tests.engine.test_mixing_ground import RULED

PLAIN = Problem(children(11), DAY, 3, 4)
PAIRED = replace(RULED, within_years=None, apart=())


def chains_of(problem: Problem, count: int, seed: int) -> np.ndarray[tuple[int, ...], np.dtype[np.int64]]:
    lot, by_size = np.random.default_rng(seed), np.repeat(np.arange(problem.groups), problem.sizes)
    return np.stack([np.stack([lot.permutation(by_size) for _ in range(problem.rounds)]) for _ in range(count)])


@pytest.mark.parametrize("problem", [PLAIN, RULED, replace(RULED, within_years=None)], ids=["plain", "ruled", "kinds"])
def test_what_is_kept_up_is_what_it_would_be_anew(problem: Problem) -> None:
    ground, lot = ground_of(problem), np.random.default_rng(1)
    held = _begun(ground, chains_of(problem, 6, 2))
    for _ in range(80):
        one, other = (int(child) for child in lot.choice(len(problem.ids), 2, replace=False))
        held.exchange(int(lot.integers(problem.rounds)), (one, other), 1e6 * lot.random(6))
    fresh = _begun(ground, np.moveaxis(held.seats, -1, 0))
    same(held, fresh)


def same(held: _Chains, fresh: _Chains) -> None:
    assert held.met == pytest.approx(fresh.met)
    assert held.total == pytest.approx(fresh.total)
    assert held.lonely == pytest.approx(fresh.lonely)
    assert held.company == pytest.approx(fresh.company)
    assert held.now == pytest.approx(fresh.now)


@pytest.mark.parametrize("aim", Aim)
def test_first_rounds_stay_and_the_others_get_better(aim: Aim) -> None:
    ground, starts = ground_of(replace(PLAIN, aim=aim)), chains_of(PLAIN, 1, 7)
    found = searched(ground, starts, 1500, 3, 2)
    assert (found[:2] == starts[0, :2]).all()
    assert (found == searched(ground, starts, 1500, 3, 2)).all()
    assert _begun(ground, found[None]).now[0] < _begun(ground, starts).now[0]


def kept_together() -> np.ndarray[tuple[int, ...], np.dtype[np.int64]]:
    """Five chains of rounds in which the two pairs of RULED stand together."""
    return np.tile([0, 0, 1, 1, 0, 0, 1, 2, 2, 2, 3, 3, 3], (5, RULED.rounds, 1))


def test_who_must_be_together_changes_places_as_one_with_as_many_others() -> None:
    ground, starts = ground_of(PAIRED), kept_together()
    held, lot, count = _begun(ground, starts), np.random.default_rng(1), len(PAIRED.ids)
    moved = False
    for _ in range(30):
        before = held.seats.copy()
        held.move(1, ground.tied[0], int(lot.integers(4, count)), lot.random((count, 5)), np.full(5, 1e9))
        one, other = ground.tied[0]
        assert (held.seats[:, one] == held.seats[:, other]).all()
        assert (np.sort(held.seats, axis=1) == np.sort(before, axis=1)).all()  # groups keep their sizes
        moved |= bool((held.seats != before).any())
    assert moved
    same(held, _begun(ground, np.moveaxis(held.seats, -1, 0)))
    found = searched(ground, starts, 400, 2)
    assert all((found[:, one] == found[:, other]).all() for one, other in ground.tied)
    assert len({tuple(turn[chain]) for chain in ground.tied for turn in found}) > 1


def test_where_a_start_parts_them_everybody_changes_places_alone() -> None:
    ground, lot = ground_of(PAIRED), np.random.default_rng(1)
    apart = _drawn(ground, chains_of(PAIRED, 3, 4), 500, 0, lot)
    assert not apart.as_one.any()
    assert set(apart.one) == set(range(len(PAIRED.ids)))
    as_one = _drawn(ground, kept_together(), 500, 0, lot)
    assert as_one.as_one.any()
    assert not set(as_one.one) & {int(child) for chain in ground.tied for child in chain}


def test_lack_of_company_counts_in_full_in_the_end() -> None:
    ground = ground_of(PAIRED)
    held = _begun(ground, chains_of(PAIRED, 2 * STRICT, 4))
    full = held.now.copy()
    held.grow_stricter(0.0)
    lonely = held.lonely.sum(axis=0) > 0
    lonely[::STRICT] = False
    assert lonely.any()
    assert ((held.now < full) == lonely).all()
    assert held.strict == pytest.approx(full)
    held.grow_stricter(1.0)
    assert held.now == pytest.approx(full)
