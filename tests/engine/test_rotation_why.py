"""Why there is no rotation: the smallest set of rules that clash, each with its way out."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given

from clubapp.engine.outcome import Reason
from clubapp.engine.rotation_problem import Problem
from clubapp.engine.rotation_why import _told, clash, possible, reasons, without
from clubapp.engine.words import Station
from tests.engine.rotations import groups, least, problems, stations
from tests.strategies import examples

GAMES = tuple(Station(name, groups_min=2, groups_max=2) for name in ("Chase", "Relay", "Catch"))


def codes(problem: Problem) -> list[str]:
    return [reason.code for reason in clash(problem)]


def reason(problem: Problem, code: str) -> Reason:
    return next(found for found in clash(problem) if found.code == code)


def test_an_odd_number_of_groups_at_games_for_two() -> None:
    problem = Problem(groups(5), GAMES, 3)
    # Two at a time in three rounds are never five groups at one game once each, whatever the other games allow.
    assert codes(problem) == ["rest", "groups_min", "rounds"]
    assert codes(replace(problem, rounds=1)) == ["rest", "groups_min", "groups_min", "groups_min"]
    assert reason(problem, "groups_min").text == "Catch needs 2 groups at a time, and there are 5 groups."


def test_more_rounds_than_stations() -> None:
    problem = Problem(groups(4), stations(4), 6)
    assert codes(problem) == ["rest", "rounds"]
    assert reason(problem, "rounds").way_out == "Make it 4 rounds."
    assert reason(problem, "rounds").about == ("4",)
    assert possible(without(problem, reason(problem, "rounds")))
    assert reason(Problem(groups(1), stations(1), 2), "rounds").way_out == "Make it 1 round."
    assert "at 1 station," in reason(Problem(groups(1), stations(1), 2), "rounds").text


def test_kit_that_is_not_enough() -> None:
    problem = Problem(groups(4), stations(4, kit={"cones": 4}), 4, kit_owned={"cones": 12, "balls": 1})
    assert codes(problem) == ["rest", "kit"]
    assert reason(problem, "kit").about == ("cones",)


def test_too_few_adults_at_stations() -> None:
    assert codes(Problem(groups(4), stations(4), 4, staffed=3)) == ["rest", "staffed"]


def test_too_many_hard_stations() -> None:
    places = tuple(Station(name, hard=name in "ABC") for name in "ABCD")
    problem = Problem(groups(4), places, 4, max_hard_run=1)
    # Whoever is at a hard station in the first round needs the only easy one in the second.
    assert codes(problem) == ["rest", "hard_run", "rounds"]
    assert reason(problem, "rounds").way_out == "Make it 1 round."
    assert "3 of the stations are hard" in reason(problem, "hard_run").text


def test_a_closed_station_is_named_with_its_rounds() -> None:
    problem = Problem(groups(2), stations(2), 2, closed=frozenset({("A", 1), ("A", 2)}), max_hard_run=0)
    told = {found.code: found.text for found in reasons(problem)}
    assert told["closed"] == "A is closed in round 1, 2."


def test_rounds_alone_are_not_always_enough() -> None:
    never = Problem(groups(1), stations(2, hard=True), 2, max_hard_run=0)
    rounds = next(found for found in reasons(never) if found.code == "rounds")
    assert _told(never, rounds, 0) == rounds
    assert codes(never) == ["rest", "hard_run"]


def test_a_station_that_opens_allows_no_rest() -> None:
    shut = frozenset({("A", 1), ("A", 2)})
    problem = Problem(groups(1), stations(1, hard=True), 3, max_hard_run=0, closed=shut)
    assert codes(problem) == ["rest", "hard_run"]


def test_what_can_be_had_has_no_clash_to_tell_of() -> None:
    assert reasons(Problem(groups(2), stations(2), 1, may_rest=True)) == ()
    assert possible(Problem(groups(2), stations(2), 2))


def test_too_many_rounds_are_nothing_to_rest_for_where_a_station_is_closed_as_well() -> None:
    wide = replace(stations(1)[0], groups_max=2)
    problem = Problem(groups(2), (wide, replace(wide, id="B", groups_max=1)), 3, closed=frozenset({("B", 1), ("B", 2)}))
    assert not possible(problem)
    assert least(problem) is None


@examples(8)
@given(problems())
def test_possible_is_true_exactly_where_there_is_an_answer(problem: Problem) -> None:
    assert possible(problem) == (least(problem) is not None)


@examples(8)
@given(problems())
def test_every_rule_of_a_clash_is_needed_and_taking_it_away_frees_the_rest(problem: Problem) -> None:
    if possible(problem):
        return
    rules, found = reasons(problem), clash(problem)
    kept = [
        rule for rule in rules if (rule.code, rule.about) in {(f.code, f.about) for f in found} or rule.code == "rounds"
    ]
    others = [rule for rule in rules if rule not in kept]
    only = problem
    for rule in others:
        only = without(only, rule)
    if "rounds" not in [f.code for f in found]:
        only = without(only, next((r for r in rules if r.code == "rounds"), Reason("rounds", "", (str(only.rounds),))))
    assert not possible(only)
    for rule in found:
        if rule.code != "rounds":
            assert possible(without(only, rule))


@pytest.mark.parametrize("code", ["rest", "groups_min", "kit", "staffed", "closed", "hard_run", "rounds"])
def test_each_rule_can_be_taken_away(code: str) -> None:
    problem = Problem(
        groups(3),
        GAMES,
        3,
        max_hard_run=1,
        kit_owned={"cones": 1, "balls": 2},
        staffed=1,
        closed=frozenset({("Chase", 1), ("Relay", 2)}),
    )
    rule = next(found for found in reasons(problem) if found.code == code)
    assert rule in reasons(problem)
    assert rule not in reasons(without(problem, rule))
