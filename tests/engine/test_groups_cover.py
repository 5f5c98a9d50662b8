"""Groups from boxes: never worse, the rules kept, the same again, and proven where they say so."""

from __future__ import annotations

import numpy as np
import pytest

from clubapp.engine import groups_cover
from clubapp.engine.groups_boxes import Box
from clubapp.engine.groups_columns import whole
from clubapp.engine.groups_cover import Cover
from clubapp.engine.groups_exact import best_partition
from clubapp.engine.groups_ground import Ground, group_marks, total
from clubapp.engine.groups_plain import baselines
from clubapp.engine.groups_problem import Problem
from clubapp.engine.groups_rules import violations
from clubapp.engine.groups_search import annealed
from clubapp.engine.groups_table import Table, table
from clubapp.engine.limits import DEFAULT, Allowance, Limit
from tests.strategies import EVENING, children, evening


def begun(rows: Table, limit: Limit = DEFAULT, seed: int = 0) -> Cover:
    seats = annealed(rows, baselines(rows.problem), limit, seed)
    return Cover(Ground(rows, 0), seats, np.random.default_rng(seed), Allowance(limit))


@pytest.mark.parametrize(("count", "groups", "seed"), [(36, 6, 3), (33, 6, 2)])
def test_what_is_proven_here_is_what_the_other_proof_finds(count: int, groups: int, seed: int) -> None:
    rows = table(evening(count, groups, seed=seed))
    cover = begun(rows)
    before = cover.score
    assert cover.done()
    part = whole(rows, np.bincount(cover.seats).tolist())
    other = best_partition(rows, part, before + 1e-6, Allowance(Limit(deterministic=60.0)))
    assert other.bound == pytest.approx(other.score)
    assert cover.score == pytest.approx(min(before, other.score))
    assert cover.score == pytest.approx(total(rows, group_marks(rows, cover.seats)))
    assert violations(rows.problem, rows.answer(cover.seats)) == []
    best = cover.score
    assert cover.proven()  # once more: there is nothing better to be seated
    assert cover.score == best


def test_a_large_squad_becomes_far_more_even_and_the_same_again() -> None:
    rows, limit = table(evening(72, 12, seed=3)), Limit(deterministic=0.5)
    cover, again = begun(rows, limit), begun(rows, limit)
    before = cover.score
    assert not cover.done()
    again.done()
    assert cover.score < before / 2
    assert (cover.seats == again.seats).all()
    assert violations(rows.problem, rows.answer(cover.seats)) == []


def test_sets_are_taken_by_lot_until_a_tree_can_hold_the_rest(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(groups_cover, "IN_A_TREE", 20)
    rows = table(evening(36, 6, seed=3))
    cover = begun(rows)
    before = cover.score
    cover.narrowed()
    assert cover.score < before
    assert violations(rows.problem, rows.answer(cover.seats)) == []


def test_where_no_cover_is_found_for_long_it_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    def in_vain(cover: Cover, *_: object) -> tuple[None, bool]:
        cover.allowance.spend(0.05)
        return None, False

    monkeypatch.setattr(Cover, "_tried", in_vain)
    cover = begun(table(evening(36, 6, seed=3)))
    seats = cover.seats.copy()
    assert not cover.narrowed()
    assert cover.allowance.spent < 1.5
    assert (cover.seats == seats).all()


def test_the_best_that_arithmetic_allows_needs_no_search() -> None:
    rows = table(Problem(children(12), EVENING, 3))
    cover = begun(rows)
    cover.score = 0.0
    assert cover.narrowed()
    assert cover.proven()
    assert cover.allowance.spent == 0


def test_too_many_sets_are_no_proof(monkeypatch: pytest.MonkeyPatch) -> None:
    cover = begun(table(evening(36, 6, seed=3)))
    cover.narrowed()
    cover.allowance.spend(-cover.allowance.spent)
    monkeypatch.setattr(groups_cover, "IN_A_PROOF", 2)
    assert not cover.proven()
    assert cover.allowance.spent > 0
    monkeypatch.setattr(groups_cover, "LISTED_FOR_PROOF", 2)
    spent = cover.allowance.spent
    assert not cover.proven()
    assert cover.allowance.spent == spent


@pytest.mark.parametrize(("count", "groups"), [(60, 4), (83, 14)])
def test_groups_too_large_to_be_listed_or_of_two_sizes_are_left_alone(count: int, groups: int) -> None:
    cover = begun(table(Problem(children(count), EVENING, groups)), Limit(deterministic=1.0))
    assert not cover.done()
    assert cover.allowance.spent == 0


def test_a_quick_look_has_no_time_for_a_list() -> None:
    cover = begun(table(Problem(children(120), EVENING, 20)), Limit(deterministic=0.3))
    assert not cover.done()
    assert cover.allowance.spent == 0


def test_sets_taken_to_the_end_share_nobody(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(groups_cover, "IN_A_TREE", -1)
    cover = begun(table(evening(36, 6, seed=3)))
    box = Box(np.full(3, -0.3), np.full(3, 0.3))
    sets = cover._listed(box)
    taken, alive, room = cover._by_lot(sets, box)
    assert len(taken) > 1
    assert sets[taken].sum(axis=0).max() == 1
    assert len(alive) == 0
    assert room.total() == 6 - len(taken)
