"""What a rotation breaks, in words, and what it costs; the arithmetic of room."""

from __future__ import annotations

from dataclasses import replace

import pytest

from clubapp.engine.rotation_plain import cyclic, plain
from clubapp.engine.rotation_problem import Answer, Problem
from clubapp.engine.rotation_room import Room, room_of, totals
from clubapp.engine.rotation_rules import (
    costs,
    floor_mm,
    longest_hard_run,
    moved,
    score,
    settled,
    violations,
    walking_m,
    weights,
)
from clubapp.engine.words import Station
from tests.engine.rotations import field, groups, stations

THREE = Problem(groups(3), stations(3), 3, names={"G1": "Red", "A": "Sprint"})
TURNED = plain(THREE)


def said(problem: Problem, answer: Answer) -> str:
    return "\n".join(violations(problem, answer))


def test_everybody_one_on_keeps_every_rule() -> None:
    assert [dict(turn)["G1"] for turn in TURNED.rounds] == ["A", "B", "C"]
    assert said(THREE, TURNED) == ""


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (replace(THREE, closed=frozenset({("A", 1)})), "Sprint is closed in round 1."),
        (replace(THREE, max_hard_run=1, stations=stations(3, hard=True)), "Red has 2 hard stations in a row in"),
        (replace(THREE, kit_owned={"cones": 5}, stations=stations(3, kit={"cones": 2})), "Round 1 needs 6 cones and"),
        (replace(THREE, staffed=2), "Round 1 has 3 stations and adults for 2."),
        (replace(THREE, stations=stations(3, groups_min=2, groups_max=2)), "Sprint has 1 of the 2 groups it needs in"),
        (replace(THREE, rounds=2), "does not have the rounds that were asked"),
        (replace(THREE, fixed=(tuple(zip(groups(3), "CBA", strict=True)),)), "changes one that is over"),
        (replace(THREE, groups=("G3", "G2", "G1")), "does not name every group once"),
        (replace(THREE, stations=stations(2)), "at a station that is not there"),
    ],
)  # fmt: skip
def test_each_broken_rule_is_named(change: Problem, sentence: str) -> None:
    assert sentence in said(change, TURNED)


def test_a_full_station_a_second_visit_and_an_idle_group() -> None:
    assert "B has 2 groups in round 1 and takes at most 1." in said(THREE, moved(TURNED, "G1", 1, "B"))
    assert "Red is at B again in round 2." in said(THREE, moved(TURNED, "G1", 1, "B"))
    assert "1 groups rest in round 1 and only 0 must." in said(THREE, moved(TURNED, "G1", 1, None))
    assert said(replace(THREE, may_rest=True), moved(TURNED, "G1", 1, None)) == ""


def test_what_is_over_is_not_judged() -> None:
    wrong = moved(TURNED, "G1", 1, "B")
    past = replace(THREE, fixed=wrong.rounds[:1], may_rest=True)
    assert "round 1" not in said(past, wrong)
    assert "Red is at B again in round 2." in said(past, wrong)


WIDE = Problem(groups(4), (Station("Wide", groups_max=3), *stations(2)), 3)


def test_where_places_are_too_few_over_all_rounds_a_rest_must_be_of_use() -> None:
    assert room_of(WIDE) == Room(short=(0, 0, 0), extra=2, too_many_rounds=False)
    nobody = Answer(((("G1", None), ("G2", None), ("G3", None), ("G4", None)),) * 3)
    assert "G1 rests in round 1 and could be at Wide." in said(WIDE, nobody)
    filled = settled(WIDE, nobody)
    assert said(WIDE, filled) == ""
    assert settled(replace(WIDE, may_rest=True), nobody) == nobody
    assert settled(THREE, moved(TURNED, "G1", 1, None)) == moved(TURNED, "G1", 1, None)


def test_room_counts_what_is_open_and_not_yet_visited() -> None:
    six = Problem(groups(6), stations(4), 4)
    assert room_of(six) == Room((2, 2, 2, 2), 0, False)
    assert room_of(six).rests == 8
    assert room_of(replace(six, rounds=6)).too_many_rounds is False
    assert room_of(replace(THREE, rounds=4)).too_many_rounds is True
    assert room_of(replace(THREE, closed=frozenset({("B", 2)}))).short == (0, 1, 0)
    assert room_of(replace(THREE, fixed=TURNED.rounds[:2])) == Room((0,), 0, False)


def test_totals_are_what_kit_adults_and_games_allow() -> None:
    games = (Station("Chase", groups_min=2, groups_max=3, kit={"cones": 6}), Station("Relay", kit={"cones": 4}))
    problem = Problem(groups(4), games, 1)
    assert totals(problem, 1) == {0, 1, 2, 3, 4}
    assert totals(replace(problem, kit_owned={"cones": 6}), 1) == {0, 1, 2, 3}
    assert totals(replace(problem, staffed=1), 1) == {0, 1, 2, 3}
    assert totals(replace(problem, groups=groups(1)), 1) == {0, 1}
    assert totals(replace(problem, closed=frozenset({("Relay", 1)})), 1) == {0, 2, 3}


def test_walking_is_between_successive_stations_and_a_rest_is_no_place() -> None:
    assert walking_m(THREE, TURNED) == 10 + 10 + 10 + 20 + 20 + 10
    resting = moved(TURNED, "G1", 2, None)
    assert walking_m(THREE, resting) == 20 + 10 + 20 + 20 + 10
    nowhere = replace(THREE, stations=tuple(Station(name) for name in "ABC"))
    assert (walking_m(nowhere, TURNED), nowhere.distance_counts) == (0, False)
    half = replace(THREE, stations=(Station("A", 0.0, None), *stations(3)[1:]))
    assert half.walks["A", "B"] == 0
    assert half.walks["B", "C"] == 10_000


def test_costs_are_counted_each_for_itself() -> None:
    pair = Problem(groups(2), stations(3, groups_max=2), 3, balanced_succession=True)
    side_by_side = Answer(tuple((("G1", at), ("G2", at)) for at in "ABC"))
    assert costs(pair, side_by_side).meetings_again == 2
    assert costs(pair, side_by_side).successions_again == 2
    rested = moved(moved(side_by_side, "G1", 1, None), "G1", 2, None)
    assert (costs(pair, rested).rests, costs(pair, rested).most_rests) == (2, 2)


def test_the_score_is_the_walking_unless_something_weightier_is_amiss() -> None:
    assert score(THREE, TURNED) == walking_m(THREE, TURNED)
    assert score(replace(THREE, least_walking=False), TURNED) == 0
    pair = Problem(groups(2), stations(3, groups_max=2), 3)
    side_by_side = Answer(tuple((("G1", at), ("G2", at)) for at in "ABC"))
    far_apart = Answer(tuple(zip(groups(2), turn, strict=True) for turn in ("AC", "CB", "BA")))  # type: ignore[misc]
    assert score(pair, side_by_side) > score(pair, Answer(tuple(tuple(turn) for turn in far_apart.rounds)))


def test_each_kind_of_cost_outweighs_all_that_follow() -> None:
    problem = Problem(groups(3), stations(3, groups_max=2), 3, balanced_succession=True, may_rest=True)
    weight = weights(problem, room_of(problem))
    most_walking = 20_000 * 3 * 2
    assert weight.successions_again > most_walking
    assert weight.meetings_again > weight.successions_again * 6 + most_walking
    assert weight.most_rests > weight.meetings_again * 9
    assert weight.rests > weight.most_rests * 3


def test_rests_nobody_can_avoid_are_not_held_against_an_answer() -> None:
    six = Problem(groups(6), stations(4), 4)
    assert score(six, plain(six)) == walking_m(six, plain(six))
    uneven = Answer(
        tuple(tuple(zip(groups(6), [*row, None, None], strict=True)) for row in ("ABCD", "BCDA", "CDAB", "DABC"))
    )
    assert score(six, uneven) > score(six, plain(six))


def test_a_floor_no_answer_is_below() -> None:
    square = Problem(groups(4), field(4, 1), 4, balanced_succession=True)
    assert floor_mm(square) == sum(square.walks.values())
    assert floor_mm(replace(THREE, least_walking=False)) == 0
    assert floor_mm(THREE) == 0
    assert floor_mm(replace(THREE, fixed=TURNED.rounds)) == 1000 * walking_m(THREE, TURNED)


def test_hard_runs_end_with_an_easy_station_or_a_rest() -> None:
    hard = replace(THREE, stations=stations(3, hard=True))
    assert longest_hard_run(hard, TURNED) == 3
    assert longest_hard_run(hard, moved(moved(moved(TURNED, "G1", 2, None), "G2", 2, None), "G3", 2, None)) == 1


def test_groups_share_stations_that_take_them_all() -> None:
    shared = Problem(groups(4), stations(2, groups_max=2), 2)
    assert plain(shared).groups_at("A", 1) == ("G1", "G3")
    assert violations(shared, plain(shared)) == []
    assert cyclic(THREE, "CBA").path("G1") == ("C", "B", "A")


def test_kit_that_is_enough_is_not_spoken_of() -> None:
    cones = replace(THREE, stations=stations(3, kit={"cones": 4}), kit_owned={"cones": 12, "balls": 0})
    assert violations(cones, TURNED) == []
    assert violations(replace(cones, kit_owned={"cones": 11}), TURNED)[0] == "Round 1 needs 12 cones and there are 11."
