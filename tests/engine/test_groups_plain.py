"""Counting off, the snake and bands."""

from __future__ import annotations

from dataclasses import replace

from clubapp.engine.groups_plain import bands, baselines, count_off, deal, serpentine
from clubapp.engine.groups_problem import Answer, Mode, Problem
from clubapp.engine.words import Athlete
from tests.strategies import EVENING

# From the fastest to the slowest: h, g, … a; all of one skill, so that ties go by id.
SQUAD = tuple(Athlete(name, {"speed_s": 9.0 - at, "skill": 5.0}) for at, name in enumerate("abcdefgh"))
PROBLEM = Problem(SQUAD, EVENING, 2)


def test_counting_off_goes_as_the_children_stand() -> None:
    assert count_off(PROBLEM) == Answer.of(["aceg", "bdfh"])
    assert count_off(replace(PROBLEM, sizes=(2, 6))) == Answer.of(["ac", "bdefgh"])


def test_the_snake_goes_by_ability_and_turns_at_the_end() -> None:
    assert serpentine(PROBLEM) == Answer.of(["heda", "gfcb"])
    assert serpentine(PROBLEM, by="skill") == Answer.of(["adeh", "bcfg"])
    assert serpentine(replace(PROBLEM, sizes=(6, 2))) == Answer.of(["hedcba", "gf"])


def test_bands_are_consecutive_and_the_first_ones_larger() -> None:
    assert bands(replace(PROBLEM, groups=3)) == Answer.of(["hgf", "edc", "ba"])
    assert bands(replace(PROBLEM, sizes=(3, 5))) == Answer.of(["hgf", "edcba"])


def test_a_deal_ends_with_the_children_or_with_the_turns() -> None:
    assert deal(PROBLEM, "ab", [0, 1, 0]) == Answer.of(["a", "b"])
    assert deal(PROBLEM, "abc", [0, 1]) == Answer.of(["a", "b"])


def test_every_plain_answer_is_a_start() -> None:
    assert len(baselines(PROBLEM)) == 5
    assert baselines(replace(PROBLEM, mode=Mode.LIKE))[0] == bands(PROBLEM)
    assert count_off(replace(PROBLEM, athletes=())) == serpentine(replace(PROBLEM, athletes=())) == Answer(((), ()))
