"""The proof, against all partitions there are."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import groups_columns, groups_exact
from clubapp.engine.fairness import Attribute
from clubapp.engine.groups_columns import Part, whole
from clubapp.engine.groups_exact import best_company, best_partition
from clubapp.engine.groups_ground import group_marks, total
from clubapp.engine.groups_problem import Mode, Problem, company
from clubapp.engine.groups_search import seated
from clubapp.engine.groups_table import Ints, Table, table
from clubapp.engine.limits import DEFAULT, Allowance, Limit
from tests.strategies import EVENING, children, evening, examples


def every_seating(sizes: tuple[int, ...], free: frozenset[int], at: int = 0) -> Iterator[dict[int, int]]:
    """All ways to seat the children of `free` in groups of these sizes."""
    if at == len(sizes):
        yield {}
        return
    for group in combinations(sorted(free), sizes[at]):
        for rest in every_seating(sizes, free - set(group), at + 1):
            yield dict.fromkeys(group, at) | rest


def best_by_trying(rows: Table, sizes: tuple[int, ...]) -> float:
    count = len(rows.ids)
    seatings = every_seating(sizes, frozenset(range(count)))
    return min(total(rows, group_marks(rows, np.array([seats[c] for c in range(count)]))) for seats in seatings)


def seats_of(rows: Table, part: Part, groups: tuple[Ints, ...]) -> Ints:
    return seated(rows, part, groups, np.zeros(len(rows.ids), dtype=np.int64))


@examples(8)
@given(st.integers(0, 99), st.sampled_from([(3, 3), (2, 2, 2), (2, 3, 3), (1, 2, 4)]), st.sampled_from(Mode))
def test_it_finds_the_best_partition_and_its_score(seed: int, sizes: tuple[int, ...], mode: Mode) -> None:
    rows = table(Problem(children(sum(sizes), seed), EVENING, len(sizes), mode=mode))
    part = whole(rows, sizes)
    found = best_partition(rows, part, 1e3, Allowance(DEFAULT))
    assert found.groups is not None
    assert sorted(len(group) for group in found.groups) == sorted(sizes)
    seats = seats_of(rows, part, found.groups)
    assert found.score == pytest.approx(total(rows, group_marks(rows, seats)))
    assert found.score == found.bound == pytest.approx(best_by_trying(rows, sizes))


def test_nothing_under_the_ceiling_proves_the_ceiling() -> None:
    rows = table(evening(24, 4))
    part = whole(rows, (6, 6, 6, 6))
    best = best_partition(rows, part, 2.0, Allowance(DEFAULT))
    none = best_partition(rows, part, best.score - 1e-6, Allowance(DEFAULT))
    assert (none.groups, none.bound) == (None, best.score - 1e-6)


def test_a_search_that_is_cut_short_says_what_it_knows() -> None:
    rows = table(evening(24, 4))
    part = whole(rows, (6, 6, 6, 6))
    best = best_partition(rows, part, 2.0, Allowance(DEFAULT)).score
    short = [best_partition(rows, part, 2.0, Allowance(Limit(deterministic=d))) for d in (0.0, 0.008, 0.01, 0.02, 0.04)]
    assert short[0].groups is None
    for found in short:
        assert found.bound <= best + 1e-9 <= found.score + 2e-9
        assert found.groups is not None or found.score == 2.0


def test_it_stops_in_the_middle_with_the_best_so_far(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(groups_exact, "BATCH", 500)
    monkeypatch.setattr(groups_exact, "LEVELS", (1.0,))
    rows = table(evening(16, 4, seed=3))
    part = whole(rows, (4, 4, 4, 4))
    sure = best_partition(rows, part, 9.0, Allowance(Limit(deterministic=1e9)))
    seen = set()
    for part_of_it in range(1, 60):
        found = best_partition(rows, part, 9.0, Allowance(Limit(deterministic=part_of_it * 2e-4)))
        assert found.bound <= sure.score + 1e-9
        seen.add((found.groups is not None, found.bound == found.score))
    assert {(False, False), (True, False), (True, True)} <= seen


def test_locks_chains_and_clashes_are_kept() -> None:
    pair, apart = frozenset({"c000", "c001"}), frozenset({"c002", "c003"})
    problem = Problem(
        children(9, 2), EVENING, 3, sizes=(2, 3, 4), together=(pair,), apart=(apart,), locks=(("c000", 2), ("c005", 0))
    )
    rows = table(problem)
    part = whole(rows, (2, 3, 4))
    found = best_partition(rows, part, 1e3, Allowance(DEFAULT))
    assert found.groups is not None
    groups = rows.answer(seats_of(rows, part, found.groups)).groups
    assert pair <= set(groups[2])
    assert "c005" in groups[0]
    assert not any(apart <= set(group) for group in groups)


def test_no_columns_no_answer() -> None:
    rows = table(replace(Problem(children(6), EVENING, 2), not_alone=("sex:f",), largest_age_gap_years=0.0))
    found = best_partition(rows, whole(rows, (3, 3)), 1e3, Allowance(DEFAULT))
    assert (found.groups, found.bound) == (None, 1e3)
    one = table(replace(Problem(children(6), EVENING, 1), largest_age_gap_years=0.0))
    assert best_partition(one, whole(one, (6,)), 1e3, Allowance(DEFAULT)).groups is None


def test_the_best_company_of_all_equally_fair_groups() -> None:
    met = dict.fromkeys(combinations([f"c{at:03}" for at in range(0, 9, 2)], 2), 1.0)
    problem = Problem(children(9, 4), EVENING, 3, balance=(Attribute("skill"),), met=met)
    rows = table(problem)
    part = whole(rows, (3, 3, 3))
    best = best_partition(rows, part, 1e3, Allowance(DEFAULT))
    kind = best_company(rows, part, best.score, Allowance(DEFAULT))
    assert kind is not None
    seats = seats_of(rows, part, kind)
    assert total(rows, group_marks(rows, seats)) == pytest.approx(best.score, abs=1e-9)
    fair = [
        company(problem, rows.answer(np.array([s[c] for c in range(9)])))
        for s in every_seating((3, 3, 3), frozenset(range(9)))
        if total(rows, group_marks(rows, np.array([s[c] for c in range(9)]))) < best.score + 1e-9
    ]
    assert company(problem, rows.answer(seats)) == min(fair)
    assert best_company(rows, part, best.score - 0.1, Allowance(DEFAULT)) is None


def test_too_many_columns_are_left_to_the_search(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = table(Problem(children(9, 4), EVENING, 3, balance=()))
    part = whole(rows, (3, 3, 3))
    monkeypatch.setattr(groups_exact, "MOST_TIED", 10)
    assert best_company(rows, part, 0.0, Allowance(DEFAULT)) is None
    monkeypatch.setattr(groups_columns, "MOST_KEPT", 10)
    assert best_company(rows, part, 0.0, Allowance(DEFAULT)) is None
    found = best_partition(rows, part, 1.0, Allowance(DEFAULT))
    assert (found.groups, found.score, found.bound) == (None, 1.0, 0.0)
