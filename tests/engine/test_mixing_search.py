"""Exchanges in one round: what is kept up step by step is what it would be reckoned anew."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from clubapp.engine.mixing import Aim, Problem
from clubapp.engine.mixing_ground import ground_of
from clubapp.engine.mixing_search import _begun, _cost, searched
from tests.engine.test_mixing import DAY, children
from tests.engine.test_mixing_ground import RULED

PLAIN = Problem(children(11), DAY, 3, 4)


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
    assert held.met == pytest.approx(fresh.met)
    assert held.total == pytest.approx(fresh.total)
    assert held.lonely == pytest.approx(fresh.lonely)
    assert held.company == pytest.approx(fresh.company)
    assert held.now == pytest.approx(_cost(fresh.company, fresh.fair, fresh.lonely))


@pytest.mark.parametrize("aim", Aim)
def test_first_rounds_stay_and_the_others_get_better(aim: Aim) -> None:
    ground, starts = ground_of(replace(PLAIN, aim=aim)), chains_of(PLAIN, 1, 7)
    found = searched(ground, starts, 1500, 3, 2)
    assert (found[:2] == starts[0, :2]).all()
    assert (found == searched(ground, starts, 1500, 3, 2)).all()
    assert _begun(ground, found[None]).now[0] < _begun(ground, starts).now[0]
