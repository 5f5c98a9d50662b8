from __future__ import annotations

import math
import random
from itertools import pairwise, permutations

import pytest

from clubapp.engine import heats_cut as cuts
from clubapp.engine.heats_problem import Mode, Problem
from clubapp.engine.limits import QUICK
from clubapp.engine.shares import Way
from tests.strategies import runners


def test_the_spread_of_each_kind() -> None:
    field = runners(4, 1)
    one, two, three, four = (runner.ms for runner in field)
    cut = (("c000", "c001"), ("c002", "c003"))
    assert cuts.spread_ms(Problem(field, 2), cut) == abs((one + two) - (three + four)) / 2
    inside = ((one - two) ** 2 + (three - four) ** 2) / 2
    assert cuts.spread_ms(Problem(field, 2, Mode.LIKE), cut) == pytest.approx(math.sqrt(inside / 4))
    assert cuts.spread_ms(Problem(field, 2, Mode.OPEN), cut) == 0.0


@pytest.mark.parametrize("seed", range(5))
def test_blocks_are_the_best_of_all_ways(seed: int) -> None:
    problem = Problem(runners(7, seed), 3, Mode.LIKE)
    ids = [one.id for one in problem.order]
    all_ways = (cuts.spread_ms(problem, (tuple(way[:3]), tuple(way[3:5]), tuple(way[5:]))) for way in permutations(ids))
    assert cuts.spread_ms(problem, cuts.blocks(problem)) == pytest.approx(min(all_ways))


def test_even_heats_have_a_bound_and_a_way() -> None:
    cut, bound, way = cuts.even(Problem(runners(12, 2), 4), QUICK, 1)
    assert cut is not None
    assert (way, bound >= 0.0) == (Way.FOUND, True)


def test_even_heats_that_cannot_be() -> None:
    field = runners(4, 1)
    triangle = tuple(frozenset({field[a].id, field[b].id}) for a, b in ((0, 1), (0, 2), (1, 2)))
    cut, _, way = cuts.even(Problem(field, 2, apart=triangle), QUICK, 1)
    assert (cut, way) == (None, Way.NONE)


def test_pairs_are_parted_by_the_cheapest_swap_or_not_at_all() -> None:
    field = tuple(sorted(runners(8, 3), key=lambda one: one.ms))
    ids = [one.id for one in field]
    problem = Problem(field, 4, Mode.LIKE, apart=(frozenset(ids[2:4]),))
    cut = cuts.parted(problem, cuts.blocks(problem))
    assert cut is not None
    assert cuts.clashes(problem, cut) == 0
    assert cuts.spread_ms(problem, cut) < cuts.spread_ms(problem, (tuple(ids[::2]), tuple(ids[1::2])))
    triangle = tuple(frozenset(pair) for pair in ((ids[0], ids[1]), (ids[0], ids[2]), (ids[1], ids[2])))
    stuck = Problem(field, 4, Mode.LIKE, apart=triangle)
    assert cuts.parted(stuck, cuts.blocks(stuck)) is None
    alone = Problem(field, 8, Mode.OPEN, apart=(frozenset(ids[:2]),))
    assert cuts.parted(alone, cuts.snake(alone)) is None


def test_a_lot_is_a_lot() -> None:
    problem = Problem(runners(9, 1), 4, Mode.OPEN)
    drawn = [cuts.by_lot(problem, random.Random(f"{seed}")) for seed in range(20)]
    assert len(set(drawn)) > 15
    assert all(sorted(len(heat) for heat in cut) == [3, 3, 3] for cut in drawn)
    order = [one.id for one in problem.order]
    assert all(order.index(a) < order.index(b) for cut in drawn for heat in cut for a, b in pairwise(heat))
