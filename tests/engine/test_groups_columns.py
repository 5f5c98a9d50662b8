"""All groups that could stand in an answer, against trying all sets of children."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import groups_columns
from clubapp.engine.groups_columns import Columns, Part, choices, enumerate_columns, least, marks, too_many, whole
from clubapp.engine.groups_ground import group_marks, total
from clubapp.engine.groups_plain import count_off
from clubapp.engine.groups_problem import Answer, Mode, Problem
from clubapp.engine.groups_rules import reasons, without
from clubapp.engine.groups_table import Table, table
from tests.strategies import EVENING, children, evening, examples, group_problems


def made(rows: Table, part: Part, ceiling: float) -> Columns:
    columns = enumerate_columns(rows, part, ceiling)
    assert columns is not None
    return columns


def members(rows: Table, part: Part, columns: Columns) -> set[frozenset[str]]:
    return {
        frozenset(rows.ids[child] for at, child in enumerate(part.children) if mask >> at & 1)
        for mask in columns.masks.tolist()
    }


def can_be_a_group(problem: Problem, group: frozenset[str]) -> bool:
    """Whether the rules, each read by itself, let these children stand together, the others being elsewhere."""
    others = [child for child in problem.ids if child not in group]
    sizes = (len(group), len(others)) if others else (len(group),)
    for index in range(problem.groups):
        if problem.sizes is not None and problem.sizes[index] != len(group):
            continue
        fits = True
        for rule in reasons(problem):
            if rule.code == "size":
                continue
            if rule.code == "lock":
                fits &= (rule.about[0] in group) == (int(rule.about[1]) == index)
                continue
            # The rule on this group alone: the children elsewhere each stand with nobody the rule minds.
            alone = [rule.code != "together" or bool(set(rule.about) & group)]
            fits &= not all(alone) or _kept(problem, rule.code, rule.about, group)
        if fits and sizes:
            return True
    return False


def _kept(problem: Problem, code: str, about: tuple[str, ...], group: frozenset[str]) -> bool:
    born = {a.id: a.born.toordinal() for a in problem.athletes if a.born is not None}
    kinds = {a.id: a.kinds for a in problem.athletes}
    match code:
        case "together":
            return set(about) <= group
        case "apart":
            return len(set(about) & group) < 2
        case "not_alone":
            return sum(about[0] in kinds[child] for child in group) != 1
        case "guided":
            return any("first_timer:yes" not in kinds[child] for child in group)
        case "age_gap":
            known = [born[child] for child in group if child in born]
            return not known or max(known) - min(known) <= int((problem.largest_age_gap_years or 0) * 365.25)
    child = about[0]
    near = int((problem.within_years or 0) * 365.25)
    return child not in group or any(
        abs(born[child] - born[other]) <= near for other in group if other in born and other != child
    )


@examples(13)
@given(group_problems(most=8))
def test_exactly_the_sets_that_keep_the_rules_come_out(problem: Problem) -> None:
    if len({child for child, _ in problem.locks}) < len(problem.locks):
        problem = replace(problem, locks=problem.locks[:1])
    rows = table(problem)
    small, over = divmod(len(problem.ids), problem.groups)
    part = whole(rows, problem.sizes or [small + (at < over) for at in range(problem.groups)])
    found = members(rows, part, made(rows, part, 1e9))
    every = {
        frozenset(group) for size in set(part.sizes) for group in combinations(problem.ids, size) if len(group) == size
    }
    assert found == {group for group in every if can_be_a_group(problem, group)}


@examples(8)
@given(st.integers(0, 99), st.floats(0.2, 2.0), st.sampled_from(Mode))
def test_a_ceiling_passes_over_only_groups_that_cannot_be_in_a_better_answer(
    seed: int, ceiling: float, mode: Mode
) -> None:
    problem = Problem(children(9, seed), EVENING, 3, mode=mode)
    rows = table(problem)
    part = whole(rows, (3, 3, 3))
    near = members(rows, part, made(rows, part, ceiling))
    for seats in np.random.default_rng(seed).permuted(np.tile(np.repeat([0, 1, 2], 3), (200, 1)), axis=1):
        if total(rows, group_marks(rows, seats)) < ceiling:
            answer = rows.answer(seats)
            assert {frozenset(group) for group in answer.groups} <= near


def test_the_sums_are_those_of_the_members() -> None:
    rows = table(evening(10, 3))
    part = whole(rows, (3, 3, 4))
    columns = made(rows, part, 2.0)
    assert set(columns.sizes.tolist()) <= {3, 4}
    for mask, sums in zip(columns.masks.tolist(), columns.sums, strict=True):
        inside = [at for at in range(10) if mask >> at & 1]
        assert sums == pytest.approx(rows.values[inside].sum(axis=0))
    assert (least(rows, part, columns) < 2.0).all()


def test_marks_of_a_group() -> None:
    rows = table(Problem(children(6), EVENING, 2))
    sums, squares, sizes = np.array([[6.0, -3.0]]), np.array([14.0]), np.array([3])
    assert marks(rows, sums, squares, sizes).tolist() == [[2.0, -1.0, -2.0, 1.0]]
    like = table(Problem(children(6), EVENING, 2, mode=Mode.LIKE))
    assert marks(like, sums[:, :1], squares, sizes).tolist() == [[2.0]]


def test_a_child_who_may_stand_with_nobody_of_its_chain_is_in_no_group() -> None:
    pair = frozenset({"c000", "c001"})
    problem = replace(Problem(children(6), EVENING, 2), together=(pair,), apart=(pair,))
    rows = table(problem)
    part = whole(rows, (3, 3))
    assert not any(pair & group for group in members(rows, part, made(rows, part, 1e9)))
    (lifted,) = [without(problem, rule) for rule in reasons(problem) if rule.code == "apart"]
    assert violations_free(lifted)


def violations_free(problem: Problem) -> bool:
    rows = table(problem)
    part = whole(rows, (3, 3))
    return any({"c000", "c001"} <= group for group in members(rows, part, made(rows, part, 1e9)))


def test_nothing_to_balance_lets_every_set_in_and_a_ceiling_under_what_stands_none() -> None:
    rows = table(Problem(children(6), EVENING, 2, balance=()))
    part = whole(rows, (3, 3))
    assert len(made(rows, part, 1.0).masks) == 20
    rows = table(Problem(children(6), EVENING, 2))
    stands = replace(whole(rows, (3, 3)), standing=np.ones(6))
    assert len(made(rows, stands, 0.5).masks) == 0


def test_too_many_to_look_at_and_too_many_to_keep(monkeypatch: pytest.MonkeyPatch) -> None:
    rows = table(Problem(children(12), EVENING, 2))
    part = whole(rows, (6, 6))
    assert choices(12, (6, 6)) == 924
    assert not too_many(part)
    assert too_many(whole(table(Problem(children(61), EVENING, 61)), [1] * 61))
    assert too_many(whole(table(Problem(children(30), EVENING, 2)), (15, 15)))
    monkeypatch.setattr(groups_columns, "MOST_KEPT", 100)
    assert enumerate_columns(rows, part, 1e9) is None


def test_a_plain_answer_is_made_of_columns() -> None:
    problem = Problem(children(12), EVENING, 3)
    rows = table(problem)
    part = whole(rows, (4, 4, 4))
    answer: Answer = count_off(problem)
    assert {frozenset(group) for group in answer.groups} <= members(rows, part, made(rows, part, 1e9))
