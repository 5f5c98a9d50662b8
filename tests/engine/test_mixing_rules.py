"""The rules of mixing in words, broken and taken away."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from clubapp.engine.mixing_problem import Answer, Problem
from clubapp.engine.mixing_rules import reasons, violations, without
from clubapp.engine.words import Athlete

DAY = date(2016, 4, 9)
NEW = frozenset({"first_timer:yes"})
SQUAD = (
    Athlete("ada", kinds=NEW, born=date(2008, 1, 1)),
    Athlete("ben", born=date(2008, 6, 1)),
    Athlete("cy", kinds=NEW, born=date(2002, 1, 1)),
    Athlete("di"),
)
PROBLEM = Problem(
    SQUAD, DAY, 2, 1,
    together=(frozenset({"ada", "ben", "zoe"}),), apart=(frozenset({"ben", "cy", "di"}), frozenset({"di"})),
    not_alone=("first_timer:yes",), within_years=1.0, names={"cy": "Cy"},
)  # fmt: skip


def test_every_rule_reads_as_a_coach_would_say_it() -> None:
    assert [(reason.code, reason.text, reason.way_out) for reason in reasons(PROBLEM)] == [
        ("together", "ada and ben are to stay together.", "Let ada and ben be in different groups."),
        ("apart", "ben, Cy and di are to be kept apart.", "Let ben, Cy and di be in one group."),
        (
            "not_alone",
            "Nobody of the kind first_timer:yes is to be the only one in a group.",
            "Let one child of the kind first_timer:yes be alone in a group.",
        ),
        ("within_years", "ada is to have another child within one year in the group.", "Let ada be without one."),
        ("within_years", "ben is to have another child within one year in the group.", "Let ben be without one."),
        ("within_years", "Cy is to have another child within one year in the group.", "Let Cy be without one."),
    ]
    assert "within 2.5 years" in reasons(replace(PROBLEM, within_years=2.5))[-1].text


def test_what_is_broken_is_said_and_without_the_rule_no_more() -> None:
    answer = Answer(((("ada", "di"), ("ben", "cy")),))
    said = violations(PROBLEM, answer)
    assert said == [
        "ada and ben are to stay together; round 1 parts them.",
        "ben and Cy are to be kept apart; round 1 does not.",
        "ada is the only one of the kind first_timer:yes in a group in round 1.",
        "Cy is the only one of the kind first_timer:yes in a group in round 1.",
        "ada has nobody near in age in the group in round 1.",
        "ben has nobody near in age in the group in round 1.",
        "Cy has nobody near in age in the group in round 1.",
    ]
    left = PROBLEM
    for reason in reasons(PROBLEM):
        less = without(left, reason)
        assert len(violations(less, answer)) < len(violations(left, answer))
        left = less
    assert violations(left, answer) == []


def test_children_who_must_be_together_without_a_rule_on_pairs() -> None:
    """Two first-timers, and Ben is the only one near Ada in age."""
    problem = replace(PROBLEM, together=())
    assert sorted(map(sorted, problem.chains)) == [["ada", "ben", "cy"]]
    assert problem.held == {("ada", "ben"), ("ada", "cy"), ("ben", "cy")}
    assert replace(problem, not_alone=(), within_years=None).chains == ()


def test_rounds_and_sizes_that_are_none() -> None:
    assert violations(PROBLEM, Answer(())) == ["There are to be 1 rounds."]
    said = violations(PROBLEM, Answer(((("ada", "ben", "cy"), ("ada",)),)))
    assert said[:2] == [
        "In round 1 not every child is in one group.",
        "In round 1 the groups are not as equal in size as possible.",
    ]
