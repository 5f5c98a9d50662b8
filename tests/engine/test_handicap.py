"""Handicap races: marks keep what they should, names decide nothing, and over a season everybody wins."""

from __future__ import annotations

import math
import subprocess
import sys
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given

from clubapp.engine import handicap
from clubapp.engine.ability import Prediction
from clubapp.engine.handicap import Aim, Answer, How, Problem, Rule, Update
from clubapp.engine.outcome import Status
from clubapp.engine.runners import Race, Runner
from tests.strategies import examples, handicap_problems, runners


@given(handicap_problems())
@examples(16)
def test_marks_keep_everything(problem: Problem) -> None:
    outcome = handicap.solve(problem)
    assert outcome.answer is not None
    assert handicap.violations(problem, outcome.answer) == []
    assert outcome.score == handicap.score(problem, outcome.answer)
    assert outcome.score <= handicap.score(problem, handicap.plain(problem)) + 1e-9
    assert outcome.bound <= outcome.score
    assert sum(handicap.chances(problem, outcome.answer).values()) == pytest.approx(1.0, abs=1e-4)


@given(handicap_problems())
@examples(6)
def test_names_decide_nothing(problem: Problem) -> None:
    other = replace(
        problem,
        runners=tuple(Runner(f"x{one.id}", one.likely) for one in problem.runners),
        new=frozenset(f"x{child}" for child in problem.new),
    )
    one, two = handicap.solve(problem).answer, handicap.solve(other).answer
    assert one is not None
    assert two is not None
    assert [mark for _, mark in one.marks] == [mark for _, mark in two.marks]


@pytest.mark.parametrize("how", How)
def test_chances_are_within_a_factor_of_two_on_an_evening(how: How) -> None:
    step, distance = (100, 0) if how is How.SECONDS else (250, 40_000)
    problem = Problem(runners(12, 2), how, step=step, distance_mm=distance)
    outcome = handicap.solve(problem)
    assert outcome.answer is not None
    found = handicap.chances(problem, outcome.answer).values()
    assert max(found) / min(found) < 2
    assert outcome.score == pytest.approx(math.log(max(found) / min(found)))
    assert outcome.reasons == ()


def test_steps_that_are_too_coarse_are_told() -> None:
    outcome = handicap.solve(Problem(runners(12, 2)))
    assert [reason.code for reason in outcome.reasons] == ["step"]


def test_where_a_common_finish_is_as_good_it_is_taken() -> None:
    twins = tuple(Runner(name, Prediction(1.9, 0.05, 0.02)) for name in "ab")
    assert handicap.solve(Problem(twins)).status is Status.SIMPLE


def test_a_new_child_gets_a_careful_start() -> None:
    known = tuple(Runner(f"k{at}", Prediction(1.80 + at / 20, 0.04, 0.02)) for at in range(4))
    new = Runner("new", Prediction(2.1, 0.15, 0.14))
    for how in How:
        problem = Problem((*known, new), how, Aim.TOGETHER, 500, distance_mm=40_000)
        careful = handicap.plain(replace(problem, new=frozenset({"new"})))
        home = dict(zip("0123n", handicap.finishes(problem, careful.of), strict=True))
        assert home["n"] >= sorted(home[at] for at in "0123")[1]


def test_what_is_wrong_is_named() -> None:
    field = runners(3, 1)
    seconds = Problem(field, aim=Aim.TOGETHER, front=3000)
    assert handicap.violations(seconds, Answer(())) == ["Not everybody has exactly one mark."]
    wrong = handicap.violations(seconds, Answer((("c000", 4000), ("c001", 4000), ("c002", 4500))))
    assert len(wrong) == 2
    metres = Problem(field, How.METRES, step=500, distance_mm=40_000, new=frozenset({"c000"}))
    off = handicap.violations(metres, Answer((("c000", 0), ("c001", 0), ("c002", 40_000))))
    assert off == ["A mark is not on the course."]
    early = handicap.violations(metres, Answer((("c000", 30_000), ("c001", 0), ("c002", 0))))
    assert early == ["c000 is new and starts too far in front."]


def season(seed: int, races: int, update: Update) -> tuple[Counter[str], list[float]]:
    """Eight children whose true pace is drawn from what is believed; marks follow what they run. Wins, true chances."""
    lot, field = np.random.default_rng(seed), list(runners(8, seed))
    noise = [math.sqrt(one.likely.log_sd**2 - one.likely.level_sd**2) for one in field]
    level = [one.likely.log_mean + one.likely.level_sd * float(lot.normal()) for one in field]
    wins: Counter[str] = Counter()
    total = np.zeros(len(field))
    for _ in range(races):
        problem = Problem(tuple(field), How.METRES, step=250, distance_mm=40_000)
        answer = handicap.solve(problem).answer
        assert answer is not None
        starts = problem.starts(answer.of)
        true = tuple(Runner(one.id, Prediction(m, s, 0.0)) for one, m, s in zip(field, level, noise, strict=True))
        total += Race(true, on_log=True).chances(starts)
        runs = [m + s * float(lot.normal()) for m, s in zip(level, noise, strict=True)]
        wins[field[int(np.argmin(np.add(starts, runs)))].id] += 1
        field = [Runner(o.id, update.after(o.likely, math.exp(run))) for o, run in zip(field, runs, strict=True)]
    return wins, list(total / races)


@pytest.mark.parametrize("rule", Rule)
def test_over_a_season_everybody_wins_and_chances_stay_within_a_factor_of_two(rule: Rule, big: bool) -> None:
    for seed in range(12 if big else 1):
        wins, chances = season(seed, 600 if big else 120, Update(rule))
        assert len(wins) == 8, "every child wins"
        assert max(chances) / min(chances) < 2


def test_another_process_says_the_same() -> None:
    script = (
        "from tests.strategies import runners; from clubapp.engine import handicap;"
        "print(handicap.solve(handicap.Problem(runners(9, 1), step=100)).answer)"
    )
    said = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout.strip()
    assert said == str(handicap.solve(Problem(runners(9, 1), step=100)).answer)


@pytest.mark.parametrize("how", How)
def test_a_child_more_or_less_moves_nobody_else(how: How) -> None:
    field = runners(7, 3)
    whole = Problem(field, how, step=500, front=0, distance_mm=40_000, new=frozenset({field[6].id}))
    few = replace(whole, runners=field[:6], new=frozenset())
    before = handicap.solve(few).answer
    assert before is not None
    after = handicap.joined(whole, before, field[6].id)
    assert {child: mark for child, mark in after.marks if child != field[6].id} == before.of
    assert handicap.violations(whole, after) == []
    assert handicap.without(few, after, field[6].id) == before
    front = min(before.marks, key=lambda row: row[1])[0]
    rest = handicap.without(few, before, front).of
    assert min(rest.values()) == 0
    assert len({before.of[child] - mark for child, mark in rest.items()}) == 1


def test_nobody_can_be_careful_enough_on_the_line_and_starts_there_all_the_same() -> None:
    """A quick new child among slow ones would have to stand behind the line."""
    slow = tuple(Runner(f"s{at}", Prediction(2.5, 0.05, 0.02)) for at in range(2))
    quick = Runner("q", Prediction(1.5, 0.2, 0.2))
    problem = Problem((*slow, quick), How.METRES, step=500, distance_mm=40_000, new=frozenset({"q"}))
    assert handicap.joined(problem, Answer((("s0", 0), ("s1", 0))), "q").of == {"s0": 0, "s1": 0, "q": 0}
