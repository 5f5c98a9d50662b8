"""Heats: everybody once, as equal as the snake or better, pairs apart, and the same from the same seed."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace

import pytest
from hypothesis import given

from clubapp.engine import heats
from clubapp.engine.heats import Answer, Heat, LaneDraw, Mode, Problem
from clubapp.engine.limits import Limit
from clubapp.engine.outcome import Status
from clubapp.engine.runners import Runner
from tests.strategies import examples, heat_problems, runners

QUICK = Limit(deterministic=0.1)


@given(heat_problems())
@examples(5)
def test_heats_keep_everything_or_say_why_not(problem: Problem) -> None:
    outcome = heats.solve(problem, limit=QUICK, seed=3)
    if outcome.answer is None:
        assert outcome.status is Status.IMPOSSIBLE
        assert {reason.code for reason in outcome.reasons} == {"apart"}
        return
    assert heats.violations(problem, outcome.answer) == []
    assert heats.score(problem, outcome.answer) == outcome.score
    assert outcome.bound <= outcome.score + 1e-6
    assert heats.solve(problem, limit=QUICK, seed=3).answer == outcome.answer


@given(heat_problems())
@examples(4)
def test_names_decide_nothing(problem: Problem) -> None:
    field = {one.id: f"x{one.id}" for one in problem.runners}
    other = replace(
        problem,
        runners=tuple(Runner(field[one.id], one.likely) for one in problem.runners),
        apart=tuple(frozenset(field[child] for child in pair) for pair in problem.apart),
    )
    one, two = heats.solve(problem, limit=QUICK), heats.solve(other, limit=QUICK)
    assert (one.status, one.score, one.bound) == (two.status, two.score, two.bound)


@pytest.mark.parametrize(("count", "lanes"), [(24, 8), (23, 6), (10, 4)])
def test_even_heats_are_never_less_even_than_the_snake_and_keep_its_rows(count: int, lanes: int) -> None:
    problem = Problem(runners(count, 5), lanes)
    outcome = heats.solve(problem, limit=QUICK)
    assert outcome.answer is not None
    assert outcome.score <= heats.score(problem, heats.plain(problem))
    rank = {one.id: at for at, one in enumerate(problem.order)}
    for row in range(count // problem.count):
        met = [sum(rank[child] // problem.count == row for child in heat.ids) for heat in outcome.answer.heats]
        assert met == [1] * problem.count


def test_equal_heats_that_are_the_snake_are_simple() -> None:
    problem = Problem(runners(2, 5), 1)
    assert heats.solve(problem, limit=Limit(0.0)).status is Status.SIMPLE


def test_rows_are_given_up_for_a_pair() -> None:
    field = tuple(sorted(runners(6, 2), key=lambda one: one.ms))
    names = [one.id for one in field]
    # Each row of three has one child a heat; two of the first row and three of the second leave no other way.
    pairs = tuple(frozenset({names[0], other}) for other in names[3:])
    problem = Problem(field, 2, apart=pairs)
    outcome = heats.solve(problem)
    assert outcome.answer is not None
    assert heats.violations(problem, outcome.answer) == []


@pytest.mark.parametrize("mode", Mode)
def test_three_cannot_be_kept_apart_in_two_heats(mode: Mode) -> None:
    field = runners(4, 1)
    pairs = tuple(frozenset({field[one].id, field[two].id}) for one, two in ((0, 1), (0, 2), (1, 2)))
    outcome = heats.solve(Problem(field, 2, mode, apart=pairs))
    assert outcome.status is Status.IMPOSSIBLE
    assert [reason.about for reason in outcome.reasons] == [tuple(sorted(pair)) for pair in pairs]


def test_without_time_no_proof_is_claimed(monkeypatch: pytest.MonkeyPatch) -> None:
    field = runners(4, 1)
    pairs = tuple(frozenset({field[one].id, field[two].id}) for one, two in ((0, 1), (0, 2), (1, 2)))
    outcome = heats.solve(Problem(field, 2, apart=pairs), limit=Limit(0.0))
    assert [reason.code for reason in outcome.reasons] == ["time"]


def test_the_solver_parts_whom_swaps_cannot(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("clubapp.engine.heats_cut.parted", lambda problem, cut: None)
    field = runners(8, 3)
    problem = Problem(field, 4, Mode.LIKE, apart=(frozenset({field[0].id, field[1].id}),))
    outcome = heats.solve(problem)
    assert outcome.answer is not None
    assert heats.violations(problem, outcome.answer) == []
    assert outcome.status is Status.GOOD


def test_like_with_like_runs_the_slower_first_and_is_proven() -> None:
    problem = Problem(runners(11, 4), 4, Mode.LIKE)
    outcome = heats.solve(problem)
    assert outcome.answer is not None
    assert outcome.status is Status.BEST
    middle = heats.means(problem, [heat.ids for heat in outcome.answer.heats])
    assert middle == sorted(middle, reverse=True)


def test_what_is_wrong_is_named() -> None:
    field = runners(6, 1)
    ids = [one.id for one in field]
    problem = Problem(field, 4, apart=(frozenset(ids[:2]),))
    assert heats.violations(problem, Answer(())) == ["Not everybody runs exactly once."]
    one_heat = (Heat(tuple(enumerate(ids[:5], 1))), Heat(((1, ids[5]),)))
    wrong = heats.violations(problem, Answer(one_heat))
    assert any("differ by one" in text for text in wrong)
    assert any("to be apart" in text for text in wrong)
    assert any("share a lane" in text for text in wrong)


def test_lanes_go_by_rank_where_asked() -> None:
    problem = Problem(runners(8, 1), 8, draw=LaneDraw.STRAIGHT)
    outcome = heats.solve(problem)
    assert outcome.answer is not None
    best = {one.id for one in problem.order[:4]}
    assert {lane for lane, child in outcome.answer.heats[0].places if child in best} == {3, 4, 5, 6}


def test_another_process_says_the_same() -> None:
    script = (
        "from tests.engine.test_heats import QUICK, heats, runners;"
        "print(heats.solve(heats.Problem(runners(20, 1), 6), limit=QUICK, seed=2).answer)"
    )
    said = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout.strip()
    assert said == str(heats.solve(Problem(runners(20, 1), 6), limit=QUICK, seed=2).answer)
