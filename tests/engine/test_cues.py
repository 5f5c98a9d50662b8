"""What a caller calls: never on the beat, no word too often, none away too long, and the same from the same seed."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.cues import (
    NEVER_ZERO,
    WORDS,
    Answer,
    Cue,
    Lot,
    Problem,
    cdf,
    choices,
    mean_wait_ms,
    solve,
    violations,
)
from tests.strategies import examples

VECTORS = json.loads((Path(__file__).parents[1] / "vectors/cues.json").read_text())


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    words = draw(st.lists(st.sampled_from("abcdefgh"), min_size=1, max_size=8, unique=True))
    least, tau = draw(st.integers(0, 4000)), draw(st.integers(200, 3000))
    return Problem(
        words=tuple(words),
        count=draw(st.integers(1, 60)),
        least_ms=least,
        most_ms=least + tau + draw(st.integers(0, 6000)),
        tau_ms=tau,
        pause_ms=draw(st.integers(0, 5000)),
        catch_percent=draw(st.integers(0, 50)),
        most_alike=draw(st.integers(1, 3)),
        most_away=draw(st.none() | st.integers(2 * len(words), 6 * len(words))),
    )


SEEDS = st.integers(0, 2**32 - 1)


@examples(25)
@given(problems(), SEEDS)
def test_whatever_is_asked_the_rules_are_kept(problem: Problem, seed: int) -> None:
    answer = solve(problem, seed=seed)
    assert violations(problem, answer) == []
    assert all(isinstance(cue.wait_ms, int) for cue in answer.cues)
    assert answer == solve(problem, seed=seed)


@examples(25)
@given(problems(), SEEDS)
def test_fewer_cues_are_the_beginning_of_more(problem: Problem, seed: int) -> None:
    more = solve(replace(problem, count=problem.count + 10), seed=seed)
    fewer = solve(problem, seed=seed)
    assert more.cues[: len(fewer.cues)] == fewer.cues


@examples(25)
@given(problems(), st.data())
def test_there_is_always_a_word_that_may_come(problem: Problem, data: st.DataObject) -> None:
    """Even where somebody picks the word that leaves least room, each time."""
    called: list[str] = []
    for _ in range(25):
        called.append(data.draw(st.sampled_from(choices(problem, called))))
    cues = tuple(Cue(problem.least_ms, at * problem.least_ms, word) for at, word in enumerate(called, start=1))
    assert violations(replace(problem, count=25, pause_ms=0), Answer(cues)) == []


def test_waits_do_not_keep_a_beat() -> None:
    """No period: a wait says nothing on the next one, and no length of wait comes much more often than its due."""
    problem = Problem(count=1000)
    waits = [cue.wait_ms for seed in range(20) for cue in solve(problem, seed=seed).cues]
    mean = sum(waits) / len(waits)
    spread = sum((wait - mean) ** 2 for wait in waits)
    for lag in (1, 2, 3, 4, 5, 8):
        together = sum((a - mean) * (b - mean) for a, b in zip(waits, waits[lag:], strict=False))
        assert abs(together / spread) < 4 / len(waits) ** 0.5
    for start in range(1000, 5000, 250):
        due = cdf(problem, start + 250) - cdf(problem, start)
        found = sum(start <= wait < start + 250 for wait in waits) / len(waits)
        assert abs(found - due) < 5 * (due / len(waits)) ** 0.5 + 0.001  # and half a millisecond of rounding


def test_every_word_comes_as_often_and_after_every_other() -> None:
    words = WORDS["colours"]
    called = [solve(Problem(count=1000), seed=seed).words for seed in range(20)]
    follows = [pair for row in called for pair in pairwise(row)]
    for word in words:
        assert sum(row.count(word) for row in called) == pytest.approx(5000, rel=0.05)
        for other in words:
            assert follows.count((word, other)) > 0.6 * len(follows) / 16


def test_catch_trials_come_as_often_as_asked_and_never_three_in_a_row() -> None:
    problem = Problem(count=1000, catch_percent=20)
    cues = [cue for seed in range(10) for cue in solve(problem, seed=seed).cues]
    caught = [cue.word is None for cue in cues]
    assert {cue.wait_ms for cue in cues if cue.word is None} == {problem.most_ms}
    # A third in a row is called instead: 0.2 - 0.2^3 of those drawn, nearly.
    assert sum(caught) / len(caught) == pytest.approx(0.2 * 1.2 / 1.24, abs=0.012)
    assert not any(all(caught[at : at + 3]) for at in range(len(caught)))
    assert not any(cue.word is None for cue in solve(Problem(count=200)).cues)


def test_the_pause_comes_after_a_cue_and_not_after_a_catch_trial() -> None:
    cues = solve(Problem(count=60, pause_ms=3000, catch_percent=30), seed=2).cues
    for before, cue in pairwise(cues):
        assert cue.at_ms - before.at_ms == cue.wait_ms + (3000 if before.word is not None else 0)


def test_one_word_alone_may_come_again_and_again() -> None:
    assert solve(Problem(("go",), 7)).words == ("go",) * 7


def test_seeds_beside_each_other_have_nothing_in_common() -> None:
    first = [solve(Problem(count=3), seed=seed) for seed in range(300)]
    assert len({answer.cues for answer in first}) == 300
    waits = [answer.cues[0].wait_ms for answer in first]
    assert sum(waits) / 300 == pytest.approx(mean_wait_ms(Problem()), rel=0.08)


def test_a_state_of_nothing_would_stay_nothing() -> None:
    assert Lot.of(0).state == NEVER_ZERO
    assert Lot.of(2**32).state == Lot.of(0).state != Lot.of(1).state


@pytest.mark.parametrize("case", VECTORS["cases"], ids=lambda case: str(case["name"]))
def test_the_shared_vectors(case: dict[str, object]) -> None:
    asked = dict(case["problem"])  # type: ignore[call-overload]
    problem = Problem(**{**asked, "words": tuple(asked["words"])})
    answer = solve(problem, seed=int(str(case["seed"])))
    assert [[cue.wait_ms, cue.at_ms, cue.word] for cue in answer.cues] == case["cues"]
    assert violations(problem, answer) == []


@pytest.mark.parametrize("case", VECTORS["numbers"], ids=lambda case: str(case["seed"]))
def test_the_shared_numbers(case: dict[str, object]) -> None:
    lot = Lot.of(int(str(case["seed"])))
    assert [lot.number() for _ in range(5)] == case["numbers"]


def test_same_seed_same_sequence_in_another_process() -> None:
    code = "from clubapp.engine.cues import *; print(solve(Problem(count=50, catch_percent=20), seed=11))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == str(solve(Problem(count=50, catch_percent=20), seed=11))


def test_what_is_broken_is_said() -> None:
    problem = Problem(("a", "b"), 5, most_away=4)
    answer = Answer(tuple(Cue(500, 1, word) for word in "aaaac"))
    said = violations(replace(problem, count=6), answer)
    for words in ("6 cues", "not one of", "shorter or longer", "its wait is over", "a comes more than 2", "b does not"):
        assert any(words in line for line in said), words


@pytest.mark.parametrize(
    "wrong",
    [
        {"words": ()},
        {"words": ("a", "a")},
        {"words": ("a", " ")},
        {"count": 0},
        {"count": 1001},
        {"least_ms": -1},
        {"pause_ms": -1},
        {"tau_ms": 199},
        {"tau_ms": 4001},
        {"catch_percent": 51},
        {"catch_percent": -1},
        {"most_alike": 0},
        {"most_away": 7},
    ],
)
def test_figures_out_of_range_are_refused(wrong: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"word|cues|waits|catch"):
        Problem(**wrong)  # type: ignore[arg-type]
