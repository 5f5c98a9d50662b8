"""Relays: equal teams, who runs twice by turns, first-timers spread, and the same from the same seed."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given

from clubapp.engine import relay
from clubapp.engine.limits import Limit
from clubapp.engine.outcome import Status
from clubapp.engine.relay import Answer, Order, Problem
from clubapp.engine.runners import Runner
from tests.strategies import examples, relay_problems, runners

QUICK = Limit(deterministic=0.1)


@given(relay_problems())
@examples(4)
def test_teams_keep_everything_or_say_why_not(problem: Problem) -> None:
    outcome = relay.solve(problem, limit=QUICK, seed=2)
    if outcome.answer is None:
        assert outcome.status is Status.IMPOSSIBLE
        assert {reason.code for reason in outcome.reasons} <= {"apart", "once"}
        assert outcome.reasons
        return
    assert relay.violations(problem, outcome.answer) == []
    assert relay.score(problem, outcome.answer) == outcome.score
    assert outcome.bound <= outcome.score + 1e-6


@given(relay_problems(most=9))
@examples(4)
def test_names_decide_nothing_and_a_seed_repeats(problem: Problem) -> None:
    other = Problem(
        tuple(Runner(f"x{one.id}", one.likely) for one in problem.runners),
        problem.teams,
        problem.kind,
        problem.order,
        tuple(frozenset(f"x{child}" for child in pair) for pair in problem.apart),
        frozenset(f"x{child}" for child in problem.first_timers),
        frozenset(f"x{child}" for child in problem.once),
        {f"x{child}": count for child, count in problem.twice_before.items()},
    )
    one, two = relay.solve(problem, limit=QUICK), relay.solve(other, limit=QUICK)
    assert (one.status, one.score) == (two.status, two.score)
    assert relay.solve(problem, limit=QUICK).answer == one.answer


@pytest.mark.parametrize(("count", "teams"), [(24, 4), (23, 4), (21, 5), (12, 3)])
def test_never_less_equal_than_the_snake(count: int, teams: int) -> None:
    problem = Problem(runners(count, 4), teams)
    outcome = relay.solve(problem, limit=QUICK)
    assert outcome.answer is not None
    assert outcome.score <= relay.score(problem, relay.plain(problem))
    assert outcome.score < 100


def test_running_twice_goes_round_over_the_weeks() -> None:
    field, before = runners(7, 1), Counter[str]()
    for week in range(7):
        problem = Problem(field, 2, twice_before=dict(before))
        outcome = relay.solve(problem, limit=QUICK, seed=week)
        assert outcome.answer is not None
        before.update(outcome.answer.twice)
    assert [before[one.id] for one in field] == [1] * 7


def test_even_legs_race_even_legs() -> None:
    """On each leg run those who are equally far up in their teams; which leg that is was drawn by lot."""
    problem = Problem(runners(12, 2), 3)
    outcome = relay.solve(problem, limit=QUICK)
    assert outcome.answer is not None
    own = problem.own
    ranks = {tuple(sorted(range(len(team)), key=lambda leg: own[team[leg]])) for team in outcome.answer.teams}
    assert len(ranks) == 1


def test_three_teams_of_one_another_cannot_be_two() -> None:
    field = runners(4, 1)
    pairs = tuple(frozenset({f"c00{a}", f"c00{b}"}) for a, b in ((0, 1), (0, 2), (1, 2)))
    outcome = relay.solve(Problem(field, 2, apart=pairs))
    assert [reason.code for reason in outcome.reasons] == ["apart"] * 3
    assert [r.code for r in relay.solve(Problem(field, 2, apart=pairs), limit=Limit(0.0)).reasons] == ["time"]


def test_somebody_must_be_able_to_run_twice() -> None:
    field = runners(3, 1)
    outcome = relay.solve(Problem(field, 2, once=frozenset(one.id for one in field)))
    assert [reason.code for reason in outcome.reasons] == ["once"]


def test_a_proven_best_says_so() -> None:
    assert relay.solve(Problem(runners(2, 1), 2)).status is Status.BEST


def test_what_is_wrong_is_named() -> None:
    field = runners(7, 1)
    names = [one.id for one in field]
    a, b, c, d, e, f, g = names
    problem = Problem(field, 2, order=Order.LOT, apart=(frozenset({a, b}),), first_timers=frozenset({a, b}))
    assert len(relay.violations(problem, Answer(((a, b, c, d), (a, e, f, g))))) == 1
    assert len(relay.violations(problem, Answer(((a, b, c, d), (e, f, g))))) == 3
    early = replace(problem, twice_before={e: 1}, once=frozenset({e}), apart=(), first_timers=frozenset())
    wrong = relay.violations(early, Answer(((a, b, c, d), (e, e, f, g))))
    assert any("run once" in text for text in wrong)
    assert any("turn" in text for text in wrong)
    assert any("without a rest" in text for text in wrong)


def test_another_process_says_the_same() -> None:
    script = (
        "from tests.engine.test_relay import QUICK, runners, relay;"
        "print(relay.solve(relay.Problem(runners(14, 1), 4), limit=QUICK, seed=2).answer)"
    )
    said = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout.strip()
    assert said == str(relay.solve(Problem(runners(14, 1), 4), limit=QUICK, seed=2).answer)
