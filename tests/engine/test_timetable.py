"""Rounds and change-overs fitted into the minutes."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine import timetable
from clubapp.engine.outcome import Status
from clubapp.engine.timetable import Answer, Entry, Kind, Problem, score, solve, violations
from tests.strategies import examples

HOUR = Problem(minutes=60, rounds=6, change_s=60, gather_s=300, warm_up_s=480, cool_down_s=240, water_every_s=1200)


def parts(problem: Problem) -> list[tuple[str, int, int | None]]:
    answer = solve(problem).answer
    assert answer is not None
    return [(str(entry.kind), entry.seconds, entry.round) for entry in answer.entries]


def kinds(problem: Problem) -> list[str]:
    return [kind for kind, _, _ in parts(problem)]


def codes(problem: Problem) -> list[str]:
    outcome = solve(problem)
    assert (outcome.answer, outcome.status) == (None, Status.IMPOSSIBLE)
    assert all(reason.text and reason.way_out for reason in outcome.reasons)
    return [reason.code for reason in outcome.reasons]


def test_turns_as_asked_with_no_change_over_after_the_last() -> None:
    problem = Problem(minutes=None, rounds=3, work_s=300, change_s=60)
    assert parts(problem) == [
        ("work", 300, 1), ("change", 60, 1), ("work", 300, 2), ("change", 60, 2), ("work", 300, 3),
    ]  # fmt: skip
    assert solve(problem).score == 120


def test_turns_as_long_as_the_minutes_allow() -> None:
    outcome = solve(Problem(minutes=30, rounds=6, change_s=60))
    assert outcome.answer is not None
    # 1800 s less five change-overs leave 1500 s: 250 s a turn.
    assert outcome.answer.work_s == 250
    assert outcome.answer.seconds == 1800
    assert (outcome.status, outcome.score, outcome.bound) == (Status.BEST, 300.0, 300.0)


def test_what_does_not_divide_by_five_is_left_over() -> None:
    outcome = solve(Problem(minutes=20, rounds=7, change_s=30))
    assert outcome.answer is not None
    assert (outcome.answer.work_s, outcome.answer.seconds) == (145, 1195)


def test_a_change_over_is_as_long_as_its_longest_walk() -> None:
    problem = Problem(minutes=None, rounds=3, work_s=60, change_s=20, walks_m=(12.0, 40.0), walk_m_s=1.2)
    assert [seconds for kind, seconds, _ in parts(problem) if kind == "change"] == [20, 35]
    fast = replace(problem, walk_m_s=2.0)
    assert [seconds for kind, seconds, _ in parts(fast) if kind == "change"] == [20, 20]


def test_a_walk_of_exactly_whole_fives_is_not_rounded_up() -> None:
    problem = Problem(minutes=None, rounds=2, work_s=60, change_s=0, walks_m=(0.3 * 20,), walk_m_s=0.3)
    assert [seconds for kind, seconds, _ in parts(problem) if kind == "change"] == [20]


def test_without_a_wish_a_change_over_takes_a_minute() -> None:
    assert [seconds for kind, seconds, _ in parts(Problem(None, 2, work_s=60)) if kind == "change"] == [60]


def test_odd_seconds_are_taken_up_to_the_next_five() -> None:
    assert parts(Problem(None, 2, work_s=301, change_s=58)) == [("work", 305, 1), ("change", 60, 1), ("work", 305, 2)]


def test_water_comes_after_work_and_before_the_walk() -> None:
    # 3600 s less 1020 s of other parts, five change-overs and two breaks leave 340 s a turn. With the 780 s before it
    # the first turn ends at 1120 s: one more would be past 1200 s, and then every third one is just not.
    assert parts(HOUR)[:8] == [
        ("gather", 300, None), ("warm-up", 480, None), ("work", 340, 1), ("water", 120, 1),
        ("change", 60, 1), ("work", 340, 2), ("change", 60, 2), ("work", 340, 3),
    ]  # fmt: skip
    rows = kinds(HOUR)
    assert rows.count("water") == 2
    assert all((a, b) != ("change", "water") for a, b in pairwise(rows))


def test_water_can_come_before_the_rotation_and_before_the_game() -> None:
    problem = Problem(None, 1, work_s=600, gather_s=300, warm_up_s=600, game_s=600, water_every_s=900, water_s=60)
    assert parts(problem) == [
        ("gather", 300, None), ("warm-up", 600, None), ("water", 60, None), ("work", 600, 1), ("water", 60, 1),
        ("game", 600, None),
    ]  # fmt: skip


def test_turns_are_cut_for_water() -> None:
    problem = Problem(minutes=60, rounds=2, change_s=60, water_every_s=900)
    answer = solve(problem).answer
    assert answer is not None
    assert answer.work_s == 840  # with its walk before it, a turn is 900 s


def test_too_few_minutes_say_what_would_fit() -> None:
    problem = Problem(minutes=20, rounds=6, work_s=300, change_s=60)
    assert codes(problem) == ["minutes", "rounds"]
    long, many = solve(problem).reasons
    assert long.text == ("6 rounds of 5:00 with change-overs, water and all other parts take 35:00; there are 20:00.")
    assert long.way_out == "Take 35 minutes."
    assert many.way_out == "Make it 5 rounds."
    assert solve(replace(problem, minutes=35)).answer is not None


def test_one_round_that_does_not_fit_cannot_be_fewer() -> None:
    assert codes(Problem(minutes=4, rounds=1, work_s=300)) == ["minutes"]
    assert "1 round of 5:00" in solve(Problem(minutes=4, rounds=1, work_s=300)).reasons[0].text


def test_a_part_longer_than_water_allows() -> None:
    assert codes(Problem(minutes=None, rounds=2, work_s=1200, water_every_s=900)) == ["water"]
    assert codes(Problem(minutes=10, rounds=2, work_s=1200, water_every_s=900)) == ["minutes", "rounds", "water"]


def test_turns_are_not_fitted_below_the_least() -> None:
    assert codes(Problem(minutes=10, rounds=6, change_s=60)) == ["minutes", "rounds"]
    assert solve(Problem(minutes=10, rounds=6, change_s=60, least_work_s=50)).answer is not None


@pytest.mark.parametrize(
    "wrong",
    [
        {"rounds": 0}, {"minutes": 0}, {"work_s": 0}, {"water_every_s": 0}, {"walk_m_s": 0.0}, {"walk_m_s": math.inf},
        {"change_s": -5}, {"walks_m": (math.nan,)}, {"walks_m": (-1.0,)}, {"game_s": -1}, {"minutes": None},
    ],
)  # fmt: skip
def test_figures_out_of_range_are_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"must be|needs either"):
        Problem(**{"minutes": 30, "rounds": 3, **wrong})  # type: ignore[arg-type]


WORK, CHANGE = Entry(Kind.WORK, 60, 1), Entry(Kind.CHANGE, 30, 1)
TWO = Problem(minutes=10, rounds=2, work_s=60, change_s=30, walks_m=(24.0,), water_every_s=120)


@pytest.mark.parametrize(
    ("entries", "sentence"),
    [
        ((WORK, replace(CHANGE, seconds=32), Entry(Kind.WORK, 60, 2)), "whole fives"),
        ((WORK, CHANGE), "2 rounds, one after the other"),
        ((WORK, CHANGE, Entry(Kind.WORK, 65, 2)), "not equally long"),
        ((Entry(Kind.WORK, 65, 1), CHANGE, Entry(Kind.WORK, 65, 2)), "is to take 1:00"),
        ((WORK, Entry(Kind.WORK, 60, 2)), "do not take turns"),
        ((WORK, CHANGE, Entry(Kind.WORK, 60, 2), CHANGE), "do not take turns"),
        ((WORK, replace(CHANGE, seconds=15), Entry(Kind.WORK, 60, 2)), "shorter than its walk"),
        ((WORK, Entry(Kind.CHANGE, 30, 1), Entry(Kind.WORK, 60, 2)), "no water for more than 2:00"),
        ((Entry(Kind.GAME, 600), WORK, CHANGE, Entry(Kind.WORK, 60, 2)), "there are 10:00"),
    ],
)
def test_what_is_wrong_is_said(entries: tuple[Entry, ...], sentence: str) -> None:
    assert any(sentence in line for line in violations(TWO, Answer(entries)))


def test_what_is_right_is_not_complained_of() -> None:
    water = Entry(Kind.WATER, 60, 1)
    assert violations(TWO, Answer((WORK, water, CHANGE, Entry(Kind.WORK, 60, 2)))) == []


problems = st.builds(
    Problem,
    minutes=st.integers(20, 120),
    rounds=st.integers(1, 9),
    change_s=st.none() | st.integers(0, 120),
    walks_m=st.lists(st.floats(0, 120), max_size=8).map(tuple),
    walk_m_s=st.floats(0.8, 3),
    water_every_s=st.none() | st.integers(600, 1800),
    water_s=st.integers(30, 180),
    gather_s=st.integers(0, 300),
    warm_up_s=st.integers(0, 500),
    game_s=st.integers(0, 600),
    cool_down_s=st.integers(0, 300),
)


@examples(25)
@given(problems)
def test_every_answer_keeps_every_rule_and_no_longer_turn_does(problem: Problem) -> None:
    outcome = solve(problem)
    if outcome.answer is None:
        assert outcome.reasons
        return
    assert violations(problem, outcome.answer) == []
    assert outcome.score == score(problem, outcome.answer) == outcome.bound
    longer = replace(problem, work_s=outcome.answer.work_s + 5)
    assert outcome.answer.work_s == 3600 or solve(longer).answer is None


@examples(25)
@given(problems, st.floats(1.0, 2.0))
def test_change_overs_last_as_long_as_their_walks(problem: Problem, factor: float) -> None:
    answer = solve(replace(problem, walk_m_s=problem.walk_m_s / factor)).answer
    for entry in answer.entries if answer else ():
        if entry.kind is Kind.CHANGE and entry.round is not None and entry.round <= len(problem.walks_m):
            walk_s = problem.walks_m[entry.round - 1] * factor / problem.walk_m_s
            assert entry.seconds >= walk_s - 1e-6
            assert entry.seconds % 5 == 0


@examples(25)
@given(problems)
def test_more_minutes_never_shorten_the_turns(problem: Problem) -> None:
    short, long = solve(problem).answer, solve(replace(problem, minutes=(problem.minutes or 0) + 5)).answer
    if short is not None:
        assert long is not None
        assert long.work_s >= short.work_s


def test_a_watch_shows_two_figures_of_seconds() -> None:
    assert [timetable.clock(seconds) for seconds in (5, 65, 3600)] == ["0:05", "1:05", "60:00"]
