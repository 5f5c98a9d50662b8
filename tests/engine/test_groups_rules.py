"""Every rule: when groups break it, how it reads, and the problem without it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from clubapp.engine import groups_rules
from clubapp.engine.groups_problem import Answer, Problem
from clubapp.engine.groups_rules import reasons, violations, without
from clubapp.engine.outcome import Reason
from clubapp.engine.words import Athlete
from tests.strategies import EVENING

KINDS = {"a": {"sex:f", "first_timer:yes"}, "b": {"sex:f"}, "c": {"first_timer:yes"}}
YEARS = {"a": 8, "b": 9, "c": 13, "d": 14, "e": 13}
SIX = tuple(
    Athlete(
        name,
        kinds=frozenset(KINDS.get(name, ())),
        born=EVENING - timedelta(days=round(YEARS[name] * 365.25)) if name in YEARS else None,
    )
    for name in "abcdef"
)
PROBLEM = Problem(SIX, EVENING, 2, names={"a": "Ada"})
TRIOS = Answer.of(["abd", "cef"])


@pytest.mark.parametrize(
    ("rule", "kept", "broken", "text"),
    [
        ({"together": (frozenset("ab"),)}, "abd cef", "ace bdf", "Ada and b are to stay together."),
        ({"apart": (frozenset("abc"),)}, "ade bf c", "abd cef", "Ada, b and c are to be kept apart."),
        ({"not_alone": ("sex:f",)}, "abd cef", "ade bcf", "Nobody of the kind sex:f is to be the only one in a group."),
        ({"guided": True}, "abd cef", "ac bdef", "Every first-timer is to be with somebody who has come three times."),
        ({"largest_age_gap_years": 1.5}, "ab cdef", "abd cef", "at most 1.5 years apart."),
        ({"locks": (("a", 0),)}, "abd cef", "cef abd", "Ada is locked to group 1."),
        ({"locks": (("b", 5),)}, "", "abd cef", "b is locked to group 6."),
    ],
)
def test_a_rule_is_kept_or_broken_and_can_be_taken_away(
    rule: dict[str, object], kept: str, broken: str, text: str
) -> None:
    def free(problem: Problem, groups: str) -> Problem:
        sizes = tuple(len(group) for group in groups.split())
        return replace(problem, groups=len(sizes), sizes=sizes)

    problem = replace(PROBLEM, **rule)  # type: ignore[arg-type]
    if kept:
        assert violations(free(problem, kept), Answer.of(kept.split())) == []
    (told,) = violations(free(problem, broken), Answer.of(broken.split()))
    assert text in told
    (reason,) = reasons(problem)
    assert reason.text == told
    assert reason.way_out
    assert violations(free(without(problem, reason), broken), Answer.of(broken.split())) == []


def test_company_of_one_s_age_is_asked_for_each_child_with_a_birth_date() -> None:
    problem = replace(PROBLEM, within_years=1.0)
    assert [reason.about for reason in reasons(problem)] == [(name,) for name in "abcde"]
    told = violations(problem, TRIOS)
    assert told == ["d is to have another child within one year in the group."]
    d = next(reason for reason in reasons(problem) if reason.about == ("d",))
    assert violations(without(problem, d), TRIOS) == []
    assert "within 2 years" in reasons(replace(problem, within_years=2.0))[0].text
    nobody = Reason("within_years", "")
    assert without(problem, nobody) == PROBLEM


def test_sizes_given_are_a_rule_too() -> None:
    problem = replace(PROBLEM, sizes=(2, 4))
    (reason,) = reasons(problem)
    assert (reason.code, reason.text) == ("size", "The groups are to have 2, 4 children.")
    assert violations(problem, TRIOS) == ["The groups have 3, 3 children."]
    assert without(problem, reason).sizes is None


def test_without_takes_away_only_the_one_rule() -> None:
    problem = replace(
        PROBLEM,
        together=(frozenset("ab"), frozenset("cd")),
        apart=(frozenset("ae"), frozenset("be")),
        not_alone=("sex:f", "first_timer:yes"),
        locks=(("a", 0), ("f", 1)),
    )
    for reason in reasons(problem):
        assert set(reasons(without(problem, reason))) == set(reasons(problem)) - {reason}


def test_rules_on_children_who_are_not_here_are_ignored() -> None:
    problem = replace(
        PROBLEM, together=(frozenset({"a", "gone"}),), apart=(frozenset({"b", "gone"}),), locks=(("gone", 0),)
    )
    assert reasons(problem) == ()
    assert groups_rules.apart_pairs(problem) == set()


@pytest.mark.parametrize(
    ("groups", "told"),
    [
        ("abd ce", "f is in no group."),
        ("abd cefx", "x is in a group but not here."),
        ("abdc cef", "c is in a group more than once."),
        ("ab cd ef", "There are 3 groups instead of 2."),
        ("abcd ef", "The groups are not as equal in size as possible."),
    ],
)
def test_groups_out_of_shape(groups: str, told: str) -> None:
    assert told in violations(PROBLEM, Answer.of(groups.split()))


def test_links_that_share_a_child_are_one_chain() -> None:
    problem = replace(PROBLEM, together=(frozenset("ab"), frozenset("cd"), frozenset("be"), frozenset("f")))
    assert groups_rules.chains(problem) == (("a", "b", "e"), ("c", "d"))
