"""Children dealt anew to a few groups, against all ways to deal them."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import groups_recut
from clubapp.engine.groups_ground import Ground, group_marks, total
from clubapp.engine.groups_plain import count_off
from clubapp.engine.groups_problem import Problem
from clubapp.engine.groups_recut import Deal, dealt_anew, subsets
from clubapp.engine.groups_rules import violations
from clubapp.engine.groups_table import Ints, Table, table
from clubapp.engine.limits import DEFAULT, Allowance
from tests.strategies import EVENING, children, evening, examples


def worth(rows: Table, seats: Ints) -> float:
    return total(rows, group_marks(rows, seats))


def best_by_trying(problem: Problem, rows: Table, seats: Ints, pool: Ints) -> float:
    """The least spread of all ways to deal the pool that keep the rules."""
    found = worth(rows, seats)
    for order in set(permutations(seats[pool].tolist())):
        tried = seats.copy()
        tried[pool] = order
        if not violations(problem, rows.answer(tried)):
            found = min(found, worth(rows, tried))
    return found


def start_of(problem: Problem) -> tuple[Table, Ints]:
    rows = table(problem)
    return rows, rows.seats(count_off(problem))


def anew(rows: Table, seats: Ints, chosen: tuple[int, ...], pool: Ints) -> Ints | None:
    return dealt_anew(Deal(Ground(rows, 0), seats, chosen, pool), Allowance(DEFAULT))


def test_subsets_by_size_are_all_there_are() -> None:
    masks, inside, edges = subsets(4, 2)
    assert sorted(masks.tolist()) == [0, 1, 2, 3, 4, 5, 6, 8, 9, 10, 12]
    assert edges.tolist() == [0, 1, 5, 11]
    assert (inside.sum(axis=0) == np.bitwise_count(masks)).all()
    assert (masks == (inside.T @ [1, 2, 4, 8])).all()


@examples(8)
@given(st.integers(0, 999), st.sampled_from([2, 3, 4]), st.sampled_from([(12, 4), (9, 3), (11, 4)]), st.booleans())
def test_it_finds_the_best_way_to_deal(seed: int, number: int, squad: tuple[int, int], everybody: bool) -> None:
    """Groups that give up everybody are alike, others are not; both ways must find what trying finds."""
    problem = Problem(children(squad[0], seed), EVENING, squad[1])
    number = min(number, squad[1])
    rows, seats = start_of(problem)
    lot = np.random.default_rng(seed)
    chosen = tuple(sorted(int(group) for group in lot.choice(squad[1], size=number, replace=False)))
    given_up = 3 if everybody and number < 4 else 2
    members = [lot.permutation(np.flatnonzero(seats == group))[:given_up] for group in chosen]
    pool = np.sort(np.concatenate(members))
    better, best = anew(rows, seats, chosen, pool), best_by_trying(problem, rows, seats, pool)
    assert worth(rows, seats if better is None else better) == pytest.approx(best)
    if better is not None:
        stay = np.setdiff1d(np.arange(len(seats)), pool)
        assert (better[stay] == seats[stay]).all()
        assert (np.bincount(better) == np.bincount(seats)).all()


@examples(10)
@given(st.integers(0, 99))
def test_rules_that_are_kept_stay_kept(seed: int) -> None:
    problem = replace(evening(12, 3, seed=seed % 20), together=(), apart=(), not_alone=(), within_years=4.0)
    rows, seats = start_of(problem)
    if violations(problem, rows.answer(seats)):
        return
    pool = np.flatnonzero(np.isin(seats, (0, 1)))
    better = anew(rows, seats, (0, 1), pool)
    assert better is None or violations(problem, rows.answer(better)) == []


def test_groups_that_do_not_make_the_spread_are_let_be() -> None:
    rows, seats = start_of(Problem(children(24), EVENING, 6))
    own = group_marks(rows, seats)
    extreme = {int(group) for group in own.argmax(axis=0)}
    inner = tuple(group for group in range(6) if group not in extreme)[:2]
    assert len(inner) == 2
    deal = Deal(Ground(rows, 0), seats, inner, np.flatnonzero(np.isin(seats, inner)))
    assert deal.room == pytest.approx(0)
    assert dealt_anew(deal, Allowance(DEFAULT)) is None


def test_too_much_to_look_at_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    rows, seats = start_of(Problem(children(24), EVENING, 4))
    pool = np.arange(24)
    whole = anew(rows, seats, (0, 1, 2, 3), pool)
    assert whole is not None
    monkeypatch.setattr(groups_recut, "HALVES", 1)
    assert anew(rows, seats, (0, 1, 2, 3), pool) is None
    monkeypatch.undo()
    monkeypatch.setattr(groups_recut, "PAIRS", -1)
    assert anew(rows, seats, (0, 1, 2, 3), pool) is None
    monkeypatch.undo()
    monkeypatch.setattr(groups_recut, "COLUMNS", {2: 60})
    fewer = anew(rows, seats, (0, 1, 2, 3), pool)
    assert fewer is None or worth(rows, fewer) < worth(rows, seats)


def test_halves_that_do_not_match_make_nothing() -> None:
    rows, seats = start_of(Problem(children(6), EVENING, 2))
    deal = Deal(Ground(rows, 0), seats, (0, 1), np.arange(6))
    columns = groups_recut._Columns(np.array([0b000111]), np.zeros((1, 3)))
    half = groups_recut._Filled(columns.masks, columns.means, columns.means, np.zeros((1, 1), dtype=np.int64))
    assert groups_recut._matched(deal, [columns, columns], half, half) is None


def test_halves_that_match_at_no_smaller_spread_make_nothing() -> None:
    """The two groups as they stand, found again: nothing is gained."""
    rows, seats = start_of(Problem(children(6), EVENING, 2))
    deal = Deal(Ground(rows, 0), seats, (0, 1), np.arange(6))
    made, halves = [], []
    for group in (0, 1):
        inside = seats == group
        mask = np.array([int((inside << np.arange(6)).sum())])
        means = rows.values[inside].mean(axis=0)[None, :]
        made.append(groups_recut._Columns(mask, means))
        halves.append(groups_recut._Filled(mask, means, means, np.zeros((1, 1), dtype=np.int64)))
    assert groups_recut._matched(deal, made, *halves) is None


def test_work_is_counted() -> None:
    rows, seats = start_of(Problem(children(24), EVENING, 4))
    allowance = Allowance(replace(DEFAULT, deterministic=1e-6))
    dealt_anew(Deal(Ground(rows, 0), seats, (0, 1), np.flatnonzero(np.isin(seats, (0, 1)))), allowance)
    assert not allowance.left
