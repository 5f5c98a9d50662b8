"""Even groups of large squads: better, rules kept, and the same again."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from clubapp.engine import groups_even
from clubapp.engine.groups_even import Standing, evened, rungs, smoothed
from clubapp.engine.groups_ground import Ground, group_marks, total
from clubapp.engine.groups_model import keep_rules
from clubapp.engine.groups_plain import count_off, serpentine
from clubapp.engine.groups_problem import Answer, Problem
from clubapp.engine.groups_rules import violations
from clubapp.engine.groups_table import Ints, Table, table
from clubapp.engine.limits import DEFAULT, Allowance, Limit, Progress
from tests.strategies import EVENING, children, evening

SHORT = Limit(deterministic=0.2)


def worth(rows: Table, seats: Ints) -> float:
    return total(rows, group_marks(rows, seats))


@pytest.mark.parametrize(("count", "number"), [(48, 8), (61, 6), (150, 10)])
def test_groups_become_far_more_even_and_keep_the_rules(count: int, number: int) -> None:
    problem = evening(count, number, seed=3)
    rows = table(problem)
    start = keep_rules(problem, SHORT, 0)
    assert isinstance(start, Answer)
    before = rows.seats(start)
    after, _ = evened(rows, before, SHORT, 0)
    assert violations(problem, rows.answer(after)) == []
    assert worth(rows, after) < min(worth(rows, before), worth(rows, rows.seats(serpentine(problem)))) / 2
    assert (after == evened(rows, before, SHORT, 0)[0]).all()


def test_locks_and_sizes_are_kept() -> None:
    problem = replace(Problem(children(48), EVENING, 4), sizes=(15, 13, 11, 9))
    rows = table(problem)
    seats = rows.seats(count_off(problem))
    locked = replace(rows, locked=np.where(np.arange(48) % 5 == 0, seats, -1))
    after, best = evened(locked, seats, SHORT, 1)
    assert not best
    assert (after[::5] == seats[::5]).all()
    assert np.bincount(after).tolist() == [15, 13, 11, 9]
    assert worth(rows, after) < worth(rows, seats) / 2


def test_a_spent_allowance_stops_at_once() -> None:
    rows = table(Problem(children(48), EVENING, 8))
    seats = rows.seats(count_off(rows.problem))
    assert (evened(rows, seats, Limit(deterministic=4.0, wall_seconds=0.0), 0)[0] == seats).all()


@pytest.mark.parametrize(("count", "number"), [(72, 12), (150, 10)])
def test_of_many_children_what_is_enough_ends_the_search(count: int, number: int) -> None:
    rows = table(evening(count, number, seed=3))
    start = keep_rules(rows.problem, SHORT, 0)
    assert isinstance(start, Answer)
    before = rows.seats(start)
    assert (evened(rows, before, SHORT, 0, worth(rows, before))[0] == before).all()
    assert (evened(rows, before, SHORT, 0)[0] != before).any()


def test_whoever_watches_is_told_and_may_have_enough() -> None:
    rows = table(Problem(children(60), EVENING, 4))
    seats = rows.seats(count_off(rows.problem))
    told: list[float] = []

    def watch(score: float, bound: float) -> bool:
        told.append(score)
        return len(told) < 40

    evened(rows, seats, Limit(deterministic=1e9, progress=Progress(watch)), 0)
    assert told[-1] < told[1]
    assert len(told) < 60


def test_a_middling_squad_is_proven_by_boxes_or_left_to_the_proof() -> None:
    rows = table(evening(36, 6, seed=3))
    seats = rows.seats(count_off(rows.problem))
    after, best = evened(rows, seats, DEFAULT, 0)
    assert best
    assert worth(rows, after) < worth(rows, seats)
    assert not evened(rows, seats, Limit(deterministic=4.0, wall_seconds=0.0), 0)[1]


@pytest.mark.parametrize(
    ("size", "groups", "expected"),
    [(6, 20, [(4, 6), (5, 6), (6, 6)]), (10, 24, [(2, 8), (3, 8)]), (30, 2, [(2, 8)]), (4, 3, [(2, 4), (3, 4)])],
)
def test_as_many_give_up_as_many_as_can_be_looked_at(size: int, groups: int, expected: list[tuple[int, int]]) -> None:
    assert rungs(size, groups) == expected


def test_groups_that_make_the_spread_are_chosen_far_more_often() -> None:
    rows = table(Problem(children(60), EVENING, 12))
    seats = rows.seats(count_off(rows.problem))
    extreme = {int(group) for group in group_marks(rows, seats).argmax(axis=0)}
    lot = np.random.default_rng(0)
    now = Standing(rows, seats)
    often = np.bincount(np.concatenate([now.some(4, lot) for _ in range(300)]), minlength=12)
    others = [group for group in range(12) if group not in extreme]
    assert often[sorted(extreme)].mean() > 2 * often[others].mean() > 0


def test_groups_are_chosen_so_that_the_score_can_be_smaller_or_not_at_all() -> None:
    rows = table(Problem(children(60), EVENING, 12))
    now, lot = Standing(rows, rows.seats(count_off(rows.problem))), np.random.default_rng(0)
    chosen = now.with_room(2, lot, Allowance(DEFAULT))
    assert (np.delete(now.own, chosen, axis=0).max(axis=0, initial=0.0) < now.top).any()
    now.own[:] = now.top  # every group as far off as every other
    assert now.with_room(2, lot, Allowance(DEFAULT)) == ()


def test_smoothing_brings_every_group_near_the_mean() -> None:
    rows = table(evening(48, 8, seed=3))
    start = keep_rules(rows.problem, SHORT, 0)
    assert isinstance(start, Answer)
    seats, allowance = rows.seats(start), Allowance(DEFAULT)
    after = smoothed(Ground(rows, 0), seats, np.random.default_rng(0), allowance)
    far = [float((group_marks(rows, at) ** 2).sum()) for at in (seats, after)]
    assert far[1] < far[0] / 4
    assert violations(rows.problem, rows.answer(after)) == []


def test_a_shake_that_can_keep_no_rule_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = table(Problem(children(12), EVENING, 3))
    seats = rows.seats(count_off(rows.problem))
    lot = np.random.default_rng(0)
    assert any((groups_even._shaken(Ground(rows, 0), seats, lot) != seats).any() for _ in range(9))
    monkeypatch.setattr(groups_even, "_broken", lambda *_: 1.0)
    assert (groups_even._shaken(Ground(rows, 0), seats, lot) == seats).all()
