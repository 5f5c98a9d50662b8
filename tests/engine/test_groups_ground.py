"""What a search for groups walks on, against the rules and the score themselves."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.fairness import Attribute
from clubapp.engine.groups_ground import BROKEN, UNFAIR, Ground, group_marks, total
from clubapp.engine.groups_plain import count_off
from clubapp.engine.groups_problem import Mode, Problem, score
from clubapp.engine.groups_rules import violations
from clubapp.engine.groups_table import Ints, Table, table
from tests.strategies import EVENING, children, evening, examples, group_problems


def energy_of(ground: Ground, seats: Ints, groups: int) -> float:
    inside = (seats[None, :] == np.arange(groups)[:, None]).astype(float)
    return float(ground.energy(ground.features(inside)[None, :, :])[0])


def start_of(problem: Problem) -> tuple[Table, Ints]:
    rows = table(problem)
    return rows, rows.seats(count_off(problem))


@examples(20)
@given(group_problems(most=10), st.integers(0, 99))
def test_the_ground_has_energy_for_broken_rules_and_none_else(problem: Problem, seed: int) -> None:
    problem = replace(problem, locks=(), sizes=None)
    rows, empty = table(problem), -len(problem.ids) % problem.groups
    members = np.random.default_rng(seed).permutation(np.arange(len(problem.ids) + empty) % problem.groups)
    seats = members[: len(rows.ids)]
    answer = rows.answer(seats)
    extra = energy_of(Ground(rows, empty), members, problem.groups) - total(rows, group_marks(rows, seats))
    broken = violations(problem, answer)
    assert (extra > 1e-9) == (broken != [])
    assert extra == pytest.approx(0) if not broken else extra > BROKEN - 1e-9


@examples(20)
@given(group_problems(most=10), st.integers(0, 99))
def test_groups_of_some_kept_and_some_of_a_pool_break_what_they_break_as_a_whole(problem: Problem, seed: int) -> None:
    ground, lot = Ground(table(problem), 0), np.random.default_rng(seed)
    count = len(problem.ids)
    pool = np.sort(lot.permutation(count)[: count // 2])
    kept, more = lot.integers(0, 2, count).astype(float), lot.integers(0, 2, (5, len(pool))).astype(float)
    kept[pool] = 0.0
    whole = np.tile(kept, (5, 1))
    whole[:, pool] = more
    assert ground.broken_with(kept, pool, more).tolist() == ground.broken(whole).tolist()


@pytest.mark.parametrize("mode", Mode)
def test_the_total_is_the_score(mode: Mode) -> None:
    problem = replace(evening(13, 4), mode=mode)
    rows, seats = start_of(problem)
    worth = total(rows, group_marks(rows, seats))
    if mode is Mode.LIKE:
        worth = (worth / (rows.values**2).sum()) ** 0.5
    assert worth == pytest.approx(score(problem, rows.answer(seats)))
    nothing = table(replace(problem, balance=(), mode=Mode.EVEN))
    assert total(nothing, group_marks(nothing, nothing.seats(count_off(problem)))) == 0.0


def test_given_an_aim_only_a_worse_score_and_old_company_count() -> None:
    squad = Problem(children(6), EVENING, 2, met={("c000", "c001"): 2.0, ("c002", "c003"): 6.0})
    rows = table(squad)
    seats = rows.seats(count_off(squad))
    now = total(rows, group_marks(rows, seats))
    old = sum(rows.met[one, two] for one in range(6) for two in range(one) if seats[one] == seats[two]) / 8.0
    assert energy_of(Ground(rows, 0, now), seats, 2) == pytest.approx(old)
    assert energy_of(Ground(rows, 0, now - 0.5), seats, 2) == pytest.approx(old + UNFAIR * 0.5, abs=1e-6)


def test_steps_are_the_least_differences_there_are() -> None:
    squad = Problem(children(9), EVENING, 3, balance=(Attribute("skill"), Attribute("speed_s")))
    rows = table(squad)
    steps = Ground(rows, 0).steps
    stars = np.unique(rows.values[:, 0])
    assert steps[0] == pytest.approx(np.diff(stars).min())
    assert 0 < steps[1] < steps[0]
    same = replace(rows, values=np.ones((9, 1)))
    assert Ground(same, 0).steps.tolist() == [0.0]
