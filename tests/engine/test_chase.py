"""Chasing games: equally often, rested, nobody who goes easy, and a late child fitted in."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import chase
from clubapp.engine.chase import Answer, Child, Field, Kind, Problem
from clubapp.engine.outcome import Status
from clubapp.engine.runners import Runner
from tests.strategies import chase_problems, examples, runners


def game(count: int, seed: int = 1, **more: object) -> Problem:
    """Everybody eleven years old."""
    return Problem(tuple(Child(one, 11.0) for one in runners(count, seed)), **more)  # type: ignore[arg-type]


@given(chase_problems())
@examples(8)
def test_everything_is_kept_or_it_is_said_why_not(problem: Problem) -> None:
    outcome = chase.solve(problem, seed=4)
    if outcome.answer is None:
        assert outcome.status is Status.IMPOSSIBLE
        assert {reason.code for reason in outcome.reasons} <= {"gap", "easy"}
        return
    assert chase.violations(problem, outcome.answer) == []
    assert chase.score(problem, outcome.answer) == outcome.score
    assert outcome.bound <= outcome.score
    assert chase.solve(problem, seed=4).answer == outcome.answer


@given(chase_problems(most=9))
@examples(4)
def test_names_decide_nothing(problem: Problem) -> None:
    other = replace(
        problem,
        children=tuple(Child(Runner(f"x{one.id}", one.runner.likely), one.years, one.easy) for one in problem.children),
        chased={f"x{child}": count for child, count in problem.chased.items()},
    )
    one, two = chase.solve(problem), chase.solve(other)
    assert (one.status, one.score, one.bound) == (two.status, two.score, two.bound)


def test_over_the_weeks_everybody_chases_equally_often() -> None:
    before: Counter[str] = Counter()
    for week in range(5):
        problem = game(10, chasers=2, seconds=170, chased=dict(before))
        answer = chase.solve(problem, seed=week).answer
        assert answer is not None
        before.update(answer.fields[0].turns)
        assert max(before.values()) - min(before[child] for child in problem.of) <= 1


def test_the_search_is_better_than_the_plain_round(monkeypatch: pytest.MonkeyPatch) -> None:
    problem = game(18, 3, chasers=2)
    found = chase.solve(problem)
    monkeypatch.setattr("clubapp.engine.chase_spells.STEPS", 0)
    assert found.score < chase.solve(problem).score


def test_a_slow_chaser_alone_is_told_as_hopeless() -> None:
    outcome = chase.solve(game(10, 2, chasers=1))
    assert [reason.code for reason in outcome.reasons] == ["hopeless"]
    assert chase.solve(game(12, 2)).reasons == ()


def test_the_best_of_three_is_proven() -> None:
    assert chase.solve(game(3, chasers=1)).status is Status.BEST


def test_everybody_going_easy_needs_an_adult() -> None:
    problem = Problem(tuple(Child(one, 10.0, easy=True) for one in runners(4, 1)))
    assert [reason.code for reason in chase.solve(problem).reasons] == ["easy"]


def test_a_field_of_one_is_said_with_the_gap_that_helps() -> None:
    a, b, c, d = runners(4, 1)
    problem = Problem((Child(a, 8.0), Child(b, 8.5), Child(c, 9.0), Child(d, 14.25)))
    (why,) = chase.solve(problem).reasons
    assert why.way_out == "Let the gap be 6.5 years."


@given(chase_problems(), st.integers(0, 20), st.booleans(), st.floats(7, 15))
@examples(6)
def test_a_late_child_is_fitted_in(problem: Problem, done: int, easy: bool, years: float) -> None:
    answer = chase.solve(problem).answer
    if answer is None:
        return
    child = Child(Runner("late", runners(1, 77)[0].likely), years, easy)
    wider, after = chase.fit_in(problem, answer, child, done)
    wrong = chase.violations(wider, after, frozenset({"late"}))
    assert set(wrong) <= {"Ages in one field are too far apart.", "Somebody chases twice without a rest."}
    for old, new in zip(answer.fields, after.fields, strict=True):
        assert new.spells[:done] == old.spells[:done]
        assert sum(one != two for one, two in zip(old.spells, new.spells, strict=True)) <= 1
        assert sum("late" in spell for spell in new.spells) <= (0 if easy else 1)


def test_a_late_child_gets_a_turn_from_who_has_most() -> None:
    problem = game(5, chasers=1, seconds=360)
    answer = chase.solve(problem).answer
    assert answer is not None
    _, after = chase.fit_in(problem, answer, Child(Runner("late", runners(1, 7)[0].likely), 11.0), 2)
    assert after.fields[0].turns["late"] == 1
    _, same = chase.fit_in(problem, answer, Child(Runner("late", runners(1, 7)[0].likely), 11.0), 99)
    assert same.fields[0].spells == answer.fields[0].spells


def test_who_leaves_chases_no_more_and_somebody_rested_does() -> None:
    problem = game(8, chasers=2, seconds=240)
    answer = chase.solve(problem).answer
    assert answer is not None
    (field,), child = answer.fields, answer.fields[0].spells[2][0]
    (after,) = chase.take_out(problem, answer, child, 1).fields
    assert child not in after.ids
    assert after.spells[0] == field.spells[0]
    assert [len(spell) for spell in after.spells] == [len(spell) for spell in field.spells]
    assert not any(child in spell for spell in after.spells[1:])
    smaller = replace(problem, children=tuple(one for one in problem.children if one.id != child))
    wrong = chase.violations(smaller, Answer((Field(after.ids, after.spells[1:]),)))
    assert "Somebody chases twice without a rest." not in wrong
    (late,) = chase.take_out(problem, answer, child, 99).fields
    assert late.spells == field.spells


def test_where_nobody_is_rested_the_others_chase_alone() -> None:
    problem = game(6, kind=Kind.TEAM, seconds=120)
    answer = chase.solve(problem).answer
    assert answer is not None
    child = answer.fields[0].spells[1][0]
    (after,) = chase.take_out(problem, answer, child, 0).fields
    assert [len(spell) for spell in after.spells] == [3, 2]


def test_what_is_wrong_is_named() -> None:
    a, b, c, d = (one.id for one in runners(4, 1))
    children = tuple(Child(one, 7.0 + 2 * at, easy=one.id == d) for at, one in enumerate(runners(4, 1)))
    problem = Problem(children, Kind.LAST, chasers=1, seconds=120)
    assert chase.violations(problem, Answer(())) == ["Not everybody is in exactly one field."]
    everybody = (a, b, c, d)
    wrong = chase.violations(problem, Answer((Field(everybody, ((a,), (a,), (d,))),), None))
    assert wrong == [
        "Ages in one field are too far apart.",
        "The spells do not fit into the time.",
        "A child who goes easy is a chaser.",
        "Not everybody chases equally often.",
        "Somebody chases twice without a rest.",
        "Coming back is not as asked.",
    ]
    strange = chase.violations(problem, Answer((Field(everybody, ((a, a), ("nobody",))),), 60))
    assert "Chasers of a spell are not different children of the field." in strange


def test_another_process_says_the_same() -> None:
    script = (
        "from tests.engine.test_chase import game; from clubapp.engine import chase;"
        "print(chase.solve(game(11), seed=2).answer)"
    )
    said = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout.strip()
    assert said == str(chase.solve(game(11), seed=2).answer)
