"""The proof by ranges gives the same best as trying everything."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import numpy as np
import pytest

from clubapp.engine import groups_ranges
from clubapp.engine.groups_boxes import Box
from clubapp.engine.groups_ranges import Ranges
from clubapp.engine.groups_table import Flags, Floats
from clubapp.engine.groups_tree import Wood
from clubapp.engine.limits import DEFAULT, Allowance, Limit

NOTHING = Box(np.zeros(2), np.zeros(2))


def triples(values: Floats) -> Flags:
    chosen = list(combinations(range(len(values)), 3))
    sets = np.zeros((len(chosen), len(values)), dtype=bool)
    for row, members in enumerate(chosen):
        sets[row, list(members)] = True
    return sets


def drawn(seed: int) -> Floats:
    values = np.random.default_rng(seed).normal(size=(9, 2))
    centred: Floats = values - values.mean(axis=0)
    return centred


def spread(values: Floats, sets: Flags, rows: tuple[int, ...]) -> float:
    means = sets[list(rows)] @ values / 3
    return float((means.max(axis=0) - means.min(axis=0)).sum())


@pytest.mark.parametrize("seed", range(2))
def test_the_best_is_the_best_of_all(seed: int) -> None:
    values = drawn(seed)
    sets = triples(values)
    every = [rows for rows in combinations(range(len(sets)), 3) if (sets[list(rows)].sum(axis=0) == 1).all()]
    expected = min(spread(values, sets, rows) for rows in every)
    tree = Ranges(Wood(sets, values, Counter({3: 3}), NOTHING), 9.0, Allowance(DEFAULT))
    found = tree.best()
    assert found is not None
    assert spread(values, sets, found) == pytest.approx(expected)
    assert tree.score == pytest.approx(expected)
    assert tree.whole
    again = Ranges(Wood(sets, values, Counter({3: 3}), NOTHING), expected, Allowance(DEFAULT))
    assert again.best() is None


def test_work_is_counted_and_ends_with_the_allowance(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(groups_ranges, "ASKED", 2)
    values = drawn(1)
    wood = Wood(triples(values), values, Counter({3: 3}), NOTHING)
    allowance = Allowance(DEFAULT)
    full = Ranges(wood, 9.0, allowance)
    full.best()
    assert allowance.spent > 0
    short = Ranges(wood, 9.0, Allowance(Limit(deterministic=1e-9)))
    short.best()
    assert not short.whole
    assert short.nodes < full.nodes
