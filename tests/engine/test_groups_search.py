"""Groups by search: every step keeps what it must."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from clubapp.engine import groups_search
from clubapp.engine.fairness import Attribute
from clubapp.engine.groups_columns import Part
from clubapp.engine.groups_ground import group_marks, total
from clubapp.engine.groups_model import keep_rules
from clubapp.engine.groups_plain import baselines, count_off
from clubapp.engine.groups_problem import Answer, Mode, Problem, company, score
from clubapp.engine.groups_rules import violations
from clubapp.engine.groups_search import annealed, banded, how_many_to_reopen, kinder, reopened, seated, touched_up
from clubapp.engine.groups_table import Ints, Table, table
from clubapp.engine.limits import DEFAULT, Allowance, Limit
from tests.strategies import EVENING, children, evening

SHORT = Limit(deterministic=0.3)


def start_of(problem: Problem) -> tuple[Table, Ints]:
    rows = table(problem)
    return rows, rows.seats(count_off(problem))


def test_annealing_keeps_locks_and_sizes_and_finds_better_groups() -> None:
    problem = replace(evening(23, 4), together=(), apart=(), not_alone=(), guided=True)
    problem = replace(problem, locks=tuple((child, at % 4) for at, child in enumerate(problem.ids[:7])))
    starts = baselines(problem)
    rows = table(problem)
    answer = rows.answer(annealed(rows, starts, DEFAULT, 1))
    assert violations(problem, answer) == []
    assert score(problem, answer) < min(score(problem, start) for start in starts)


def test_a_full_group_of_locked_children_leaves_a_start_as_it_can_be() -> None:
    problem = replace(Problem(children(6), EVENING, 3), locks=tuple((f"c{at:03}", 0) for at in range(3)))
    rows = table(problem)
    answer = rows.answer(annealed(rows, baselines(problem), SHORT, 0))
    assert sorted(child for group in answer.groups for child in group) == sorted(problem.ids)


@pytest.mark.parametrize(("count", "number"), [(48, 8), (120, 20)])
def test_bands_cut_anew_get_better_and_keep_the_rules(count: int, number: int) -> None:
    problem = replace(evening(count, number, seed=3), mode=Mode.LIKE)
    rows = table(problem)
    start = keep_rules(problem, SHORT, 0)
    assert isinstance(start, Answer)
    before = rows.seats(start)
    after = banded(rows, before, SHORT, 0)
    assert violations(problem, rows.answer(before)) == violations(problem, rows.answer(after)) == []
    assert total(rows, group_marks(rows, after)) < total(rows, group_marks(rows, before))
    assert (after == banded(rows, before, SHORT, 0)).all()


def test_a_spent_allowance_stops_cutting() -> None:
    rows, seats = start_of(Problem(children(48), EVENING, 8, mode=Mode.LIKE))
    assert (banded(rows, seats, Limit(deterministic=4.0, wall_seconds=0.0), 0) == seats).all()


@pytest.mark.parametrize("sizes", [(30, 30), None])
def test_large_bands_get_better_by_swaps_alone(sizes: tuple[int, ...] | None) -> None:
    problem = Problem(children(60 if sizes else 61), EVENING, 2, sizes=sizes, mode=Mode.LIKE)
    rows, seats = start_of(problem)
    after = banded(rows, seats, SHORT, 0)
    assert violations(problem, rows.answer(after)) == []
    assert total(rows, group_marks(rows, after)) < total(rows, group_marks(rows, seats))


def test_a_touch_up_before_the_proof_never_makes_it_worse() -> None:
    rows, seats = start_of(Problem(children(24), EVENING, 6))
    after = touched_up(rows, seats, 0)
    assert total(rows, group_marks(rows, after)) < total(rows, group_marks(rows, seats))
    rows, seats = start_of(Problem(children(12), EVENING, 2))
    assert (touched_up(rows, seats, 0) == seats).all()


def test_only_the_chosen_groups_are_cut_anew() -> None:
    problem = Problem(children(24), EVENING, 4)
    rows, seats = start_of(problem)
    own = group_marks(rows, seats)
    worst = int(np.argmax(own[:, 0]))
    other = (worst + 1) % 4
    better = reopened(rows, seats, sorted((worst, other)), Allowance(DEFAULT))
    stay = ~np.isin(seats, [worst, other])
    if better is not None:
        assert (better[stay] == seats[stay]).all()
        assert total(rows, group_marks(rows, better)) < total(rows, group_marks(rows, seats))
    whole_best = reopened(rows, seats, range(4), Allowance(DEFAULT))
    assert whole_best is not None
    assert reopened(rows, whole_best, range(4), Allowance(DEFAULT)) is None


def test_new_groups_take_the_numbers_of_their_locks_and_sizes() -> None:
    problem = Problem(children(6), EVENING, 3, sizes=(1, 2, 3), locks=(("c000", 2),))
    rows = table(problem)
    locked = int(np.flatnonzero(rows.locked == 2)[0])
    others = [at for at in range(6) if at != locked]
    groups = [np.array(others[:2]), np.array([locked, *others[2:4]]), np.array(others[4:])]
    part = Part(np.arange(6), (0, 1, 2), (1, 2, 3), np.zeros(6))
    answer = rows.answer(seated(rows, part, groups, np.zeros(6, dtype=np.int64)))
    assert [len(group) for group in answer.groups] == [1, 2, 3]
    assert "c000" in answer.groups[2]


@pytest.mark.parametrize(("count", "number", "expected"), [(24, 4, 3), (48, 8, 3), (240, 24, 2), (8, 2, 2)])
def test_as_many_groups_as_can_be_looked_at(count: int, number: int, expected: int) -> None:
    assert how_many_to_reopen(*start_of(Problem(children(count), EVENING, number))) == expected


def test_kinder_groups_are_as_fair_and_in_newer_company() -> None:
    squad = Problem(children(20, 3), EVENING, 4, balance=(Attribute("skill"),))
    last = Answer.of([squad.ids[at : at + 5] for at in range(0, 20, 5)])
    met = {(one, two): 1.0 for group in last.groups for one in group for two in group if one < two}
    problem = replace(squad, met=met)
    rows = table(problem)
    seats = rows.seats(last)
    after = kinder(rows, seats, 0)
    assert total(rows, group_marks(rows, after)) <= total(rows, group_marks(rows, seats)) + 1e-9
    assert company(problem, rows.answer(after)) < company(problem, last) / 2


def test_like_with_like_cuts_bands_anew_that_are_next_to_each_other(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(groups_search, "NEXT_TO_EACH_OTHER", 1.0)
    rows, seats = start_of(Problem(children(48), EVENING, 8, mode=Mode.LIKE))
    lot = np.random.default_rng(0)
    able = np.argsort(np.argsort([rows.values[seats == group].mean() for group in range(8)]))
    for _ in range(20):
        places = sorted(able[groups_search._choice(rows, seats, 3, lot)])
        assert places[2] - places[0] == 2
