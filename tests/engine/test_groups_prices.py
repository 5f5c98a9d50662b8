"""Prices of children: never more than a group costs, and nearly as much as the best answer."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.groups_bound import bands_bound
from clubapp.engine.groups_columns import Columns, Part, enumerate_columns, whole
from clubapp.engine.groups_prices import priced
from clubapp.engine.groups_problem import Mode, Problem
from clubapp.engine.groups_table import table
from tests.strategies import EVENING, children, examples


def columns_of(count: int, sizes: tuple[int, ...], seed: int) -> tuple[Part, Columns, float]:
    rows = table(Problem(children(count, seed), EVENING, len(sizes), mode=Mode.LIKE))
    part = whole(rows, sizes)
    columns = enumerate_columns(rows, part, 1e9)
    assert columns is not None
    return part, columns, bands_bound(tuple(map(float, rows.values[:, 0])), sizes)


@examples(5)
@given(st.integers(0, 99), st.sampled_from([(3, 3, 3), (2, 3, 4), (1, 4, 4)]))
def test_prices_are_a_bound_and_every_group_costs_at_least_its_children(seed: int, sizes: tuple[int, ...]) -> None:
    part, columns, best = columns_of(9, sizes, seed)
    dear, over = priced(part, columns, best * 1.2 + 0.1)
    assert dear.standing[0] <= best + 1e-9
    assert (over.marks >= 0).all()
    for cut in partitions(columns):
        assert dear.standing[0] + over.marks[cut].sum() == pytest.approx(columns.marks[cut].sum())


def partitions(columns: Columns) -> list[list[int]]:
    """Some ways to put all nine children into three groups."""
    masks = {mask: at for at, mask in enumerate(columns.masks.tolist())}
    cuts = [
        [masks[one], masks[two], masks[511 ^ one ^ two]]
        for one in list(masks)[::7]
        for two in masks
        if not one & two and 511 ^ one ^ two in masks
    ]
    assert cuts
    return cuts[:50]


def test_prices_come_near_the_best() -> None:
    part, columns, best = columns_of(12, (4, 4, 4), 5)
    assert priced(part, columns, best * 1.1)[0].standing[0] > 0.8 * best


def test_right_prices_end_the_search_for_them() -> None:
    """Three pairs of twins: the best groups cost nothing, and prices of nothing say so at once."""
    part = Part(np.arange(6), (0, 1, 2), (2, 2, 2), np.zeros(1))
    masks = np.array([0b000011, 0b001100, 0b110000])
    columns = Columns(masks, np.zeros((3, 1)), np.full((3, 1), 0.5), np.array([2, 2, 2]))
    dear, over = priced(part, columns, 1.5)
    assert dear.standing[0] == pytest.approx(1.5)
    assert over.marks == pytest.approx(np.zeros((3, 1)))


def test_a_size_no_group_has_left_is_priced_by_the_others() -> None:
    part, columns, best = columns_of(9, (2, 3, 4), 1)
    fewer = columns.only(columns.sizes != 2)
    dear, over = priced(part, fewer, best + 0.1)
    assert (over.marks >= 0).all()
    assert len(over.masks) == len(fewer.masks)
    assert np.isfinite(dear.standing).all()


def test_two_groups_and_no_groups_need_no_prices() -> None:
    part, columns, best = columns_of(8, (4, 4), 1)
    assert priced(part, columns, best) == (part, columns)
    part, columns, best = columns_of(9, (3, 3, 3), 1)
    none = columns.only(np.zeros(len(columns.masks), dtype=bool))
    assert priced(part, none, best)[0] is part
    stands = replace(part, standing=np.array([2.0]))
    assert priced(stands, columns, best + 2.0)[0].standing[0] <= best + 2.0 + 1e-9
