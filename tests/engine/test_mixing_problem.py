"""What mixing asks and answers, counted by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from clubapp.engine import fairness
from clubapp.engine.mixing_problem import REPEAT, Aim, Answer, Problem, meetings, report, score
from clubapp.engine.words import Athlete

DAY = date(2016, 4, 9)
GIRL = frozenset({"sex:f"})
SQUAD = (
    Athlete("ada", kinds=GIRL, born=date(2008, 1, 1)),
    Athlete("ben", born=date(2008, 6, 1)),
    Athlete("cy", born=date(2002, 1, 1)),
    Athlete("di", kinds=GIRL),
    Athlete("ed", born=date(2002, 2, 1)),
)
PROBLEM = Problem(SQUAD, DAY, 2, 2)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"athletes": (SQUAD[0], SQUAD[0])}, "same id"),
        ({"groups": 0}, "a child for every group"),
        ({"groups": 6}, "a child for every group"),
        ({"rounds": 0}, "there must be a round"),
    ],
)
def test_a_problem_that_is_none_is_refused(change: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        replace(PROBLEM, **change)


def test_groups_are_as_equal_as_can_be_the_larger_first() -> None:
    assert PROBLEM.sizes == (3, 2)
    assert replace(PROBLEM, groups=5).sizes == (1, 1, 1, 1, 1)


def test_pairs_of_a_rule_are_those_of_children_present() -> None:
    rules = (frozenset({"di", "ada", "zoe"}), frozenset({"ada", "ben", "di"}), frozenset({"yan", "zoe"}))
    assert PROBLEM.pairs(rules) == {("ada", "di"), ("ada", "ben"), ("ben", "di")}


def test_who_is_near_in_age() -> None:
    assert PROBLEM.near == {}
    near = replace(PROBLEM, within_years=1.0, excused=frozenset({"cy"})).near
    assert near == {"ada": {"ben"}, "ben": {"ada"}, "ed": {"cy"}}


def test_who_must_be_together_in_every_round() -> None:
    """By a rule, by two rules that share a child, as one of only two of a kind, and as the only one near in age."""
    ruled = replace(PROBLEM, together=(frozenset({"ada", "ben"}), frozenset({"ben", "cy", "zoe"})))
    assert ruled.chains == (frozenset({"ada", "ben", "cy"}),)
    assert ruled.held == {("ada", "ben"), ("ada", "cy"), ("ben", "cy")}
    assert replace(PROBLEM, not_alone=("sex:f", "sex:none")).held == {("ada", "di")}
    assert replace(PROBLEM, within_years=1.0).held == {("ada", "ben"), ("cy", "ed")}
    assert replace(PROBLEM, together=(frozenset({"ada", "zoe"}),)).chains == ()


def test_meetings_are_counted_and_those_who_must_meet_told_apart() -> None:
    ruled = replace(PROBLEM, together=(frozenset({"ada", "ben"}),), names={"ada": "Ada"})
    answer = Answer(((("ada", "ben", "cy"), ("di", "ed")), (("ada", "ben", "ed"), ("cy", "di"))))
    assert meetings(answer)["ada", "ben"] == 2
    met = report(ruled, answer)
    assert (met.repeats, met.held, met.least, met.most) == (0, 1, 2, 3)
    assert met.fairness == tuple(fairness.report(SQUAD, DAY, ruled.balance, turn).score for turn in answer.rounds)
    assert report(PROBLEM, answer).repeats == 1
    assert score(ruled, answer) == score(PROBLEM, answer) == max(met.fairness) + REPEAT[Aim.MIX]
    assert score(replace(PROBLEM, aim=Aim.FAIR), answer) == max(met.fairness) + REPEAT[Aim.FAIR]
    assert (ruled.name("ada"), ruled.name("ben")) == ("Ada", "ben")
