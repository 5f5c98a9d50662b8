"""What is asked of groups, and what an answer is worth."""

from __future__ import annotations

from dataclasses import replace

import pytest

from clubapp.engine.groups_problem import Answer, Mode, Problem, company, score
from clubapp.engine.words import Athlete
from tests.strategies import EVENING

FOUR = tuple(Athlete(name, {"skill": value}) for name, value in zip("abcd", (1.0, 2.0, 4.0, 5.0), strict=True))
PROBLEM = Problem(FOUR, EVENING, 2)
PAIRS = Answer.of([["b", "a"], ["d", "c"]])


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"athletes": (*FOUR, FOUR[0])}, "the same id"),
        ({"groups": 0}, "at least one group"),
        ({"sizes": (1, 1, 2)}, "3 sizes are given for 2 groups"),
    ],
)
def test_a_question_without_sense_is_refused(change: dict[str, object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        replace(PROBLEM, **change)  # type: ignore[arg-type]


def test_ids_stand_sorted_in_an_answer_and_names_only_in_sentences() -> None:
    assert PAIRS.groups == (("a", "b"), ("c", "d"))
    named = replace(PROBLEM, names={"a": "Ada"})
    assert (named.name("a"), named.name("b")) == ("Ada", "b")


def test_even_groups_score_their_spread_and_like_ones_what_is_left_inside() -> None:
    # Means 1.5 and 4.5 are 3 apart, the deviation is the root of 2.5; inside are squares of 0.5, of 2.5 in all.
    assert score(PROBLEM, PAIRS) == pytest.approx(3 / 2.5**0.5)
    like = replace(PROBLEM, mode=Mode.LIKE)
    assert score(like, PAIRS) == pytest.approx((0.25 / 2.5) ** 0.5)
    assert score(like, Answer((("a", "b", "c", "d"),))) == pytest.approx(1.0)
    same = replace(like, athletes=tuple(replace(athlete, values={}) for athlete in FOUR))
    assert score(same, PAIRS) == 0.0


def test_company_adds_up_pairs_that_are_together_again() -> None:
    met = {("a", "b"): 1.0, frozenset("cd"): 0.5, ("a", "c"): 8.0, ("a", "gone"): 8.0}
    assert company(replace(PROBLEM, met=met), PAIRS) == 1.5
    assert company(PROBLEM, PAIRS) == 0.0
