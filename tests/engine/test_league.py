"""Fixtures: the whole table, nobody in two places, sides balanced, never longer waits than in the table's own order."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import league
from clubapp.engine.league import Answer, Fixture, Kind, Problem
from clubapp.engine.outcome import Status
from tests.strategies import examples


def problem(count: int, pitches: int, **more: object) -> Problem:
    return Problem(tuple(f"t{at:02}" for at in range(count)), pitches, **more)  # type: ignore[arg-type]


TIME = st.none() | st.integers(1, 9)
PROBLEMS = st.one_of(
    st.builds(problem, st.integers(2, 12), st.integers(1, 6), slots=TIME, again=st.booleans()),
    st.builds(problem, st.sampled_from([4, 8, 12]), st.integers(1, 4), slots=TIME, kind=st.just(Kind.PAIRS)),
)


@given(PROBLEMS, st.integers(0, 9))
@examples(13)
def test_fixtures_keep_everything(asked: Problem, seed: int) -> None:
    outcome = league.solve(asked, seed=seed)
    assert outcome.answer is not None
    assert league.violations(asked, outcome.answer) == []
    assert league.score(asked, outcome.answer) == outcome.score >= outcome.bound
    assert league.solve(asked, seed=seed).answer == outcome.answer


@pytest.mark.parametrize("count", range(2, 17))
@pytest.mark.parametrize("pitches", [1, 2, 3])
def test_no_slot_is_wasted_and_nobody_waits_longer_than_in_the_plain_order(count: int, pitches: int) -> None:
    asked = problem(count, pitches)
    outcome, plain = league.solve(asked), league.plain(asked)
    assert outcome.answer is not None
    games = count * (count - 1) // 2
    assert len(outcome.answer.slots) == -(-games // min(pitches, count // 2))
    assert outcome.score <= league.score(asked, plain)


def test_everybody_rests_and_referees_as_often_as_the_others() -> None:
    asked = problem(7, 2)
    answer = league.solve(asked).answer
    assert answer is not None
    played = Counter(side for one in answer.fixtures for side in one.players)
    assert set(played.values()) == {6}
    done = Counter(one.referee for one in answer.fixtures)
    assert None not in done
    assert max(done.values()) - min(done[side] for side in asked.sides) <= 1


def test_with_a_pitch_for_every_game_the_table_is_proven() -> None:
    assert league.solve(problem(8, 4)).status is Status.BEST
    assert league.solve(problem(11, 2)).status is Status.GOOD


def test_names_decide_nothing() -> None:
    one = league.solve(Problem(("a", "b", "c", "d", "e"), 1)).answer
    two = league.solve(Problem(("v", "w", "x", "y", "z"), 1)).answer
    assert one is not None
    assert two is not None
    new = dict(zip("abcde", "vwxyz", strict=True))
    assert [[new[side] for side in fixture.players] for fixture in one.fixtures] == [
        list(fixture.players) for fixture in two.fixtures
    ]


def test_what_is_wrong_is_named() -> None:
    asked = problem(4, 1, slots=1)
    a, b, c, d = asked.sides
    two = (Fixture(1, (a,), (b,)), Fixture(1, (a,), (c,), "nobody"))
    again = tuple((Fixture(1, (b,), (a,), c),) for _ in range(3))
    wrong = league.violations(asked, Answer((two, *again)))
    for words in ("time for 1", "one pitch", "two places", "not in the table", "much more often", "none of the sides"):
        assert any(words in text for text in wrong), words
    whole = problem(3, 1)
    less = league.violations(whole, Answer(((Fixture(1, ("t00",), ("t02",)),),)))
    assert "A game of the table is missing." in less
    assert "A game has no referee although somebody rests." in less
    turned = [Fixture(1, (a,), (b,)), Fixture(1, (a,), (c,)), Fixture(1, (a,), (d,))]
    sides = league.violations(problem(4, 1), Answer(tuple((one,) for one in turned)))
    assert "Sides are not balanced." in sides


def test_another_process_says_the_same() -> None:
    script = (
        "from tests.engine.test_league import problem; from clubapp.engine import league;"
        "print(league.solve(problem(9, 2), seed=2).answer)"
    )
    said = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout.strip()
    assert said == str(league.solve(problem(9, 2), seed=2).answer)
