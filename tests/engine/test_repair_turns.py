"""Where groups go from now on: as little changed as can be, and rests only where there is no room."""

from __future__ import annotations

from dataclasses import replace

from clubapp.engine import repair_turns, words
from clubapp.engine import rotation as engine_rotation
from clubapp.engine.outcome import Status
from clubapp.engine.repair import (
    AdultGone,
    Closed,
    Left,
    Lost,
    Merged,
    Way,
    second_best,
    solve,
    violations,
)
from tests.engine.repairs import NO_TIME, running, solved, with_changes


def test_a_group_nobody_is_left_of_takes_no_station() -> None:
    problem = running()
    answer = solved(with_changes(problem, *map(Left, problem.groups.groups[0])))
    assert answer.groups.groups[0] == ()
    assert answer.moves == ()
    assert answer.rotation.station_of("Red", 2) is None


def test_who_finds_a_station_closed_rests_and_nothing_else_changes() -> None:
    problem = with_changes(running(), Closed("C", 3))
    answer = solved(problem)
    before, after = problem.rotation.rounds, answer.rotation.rounds
    for turn in range(4):
        for (name, was), (_, now) in zip(before[turn], after[turn], strict=True):
            assert now == (None if was == "C" and turn >= 2 else was), name
    missing = {group for group in problem.turns.groups if "C" not in answer.rotation.path(group)}
    assert {one.athlete for one in answer.owed} == {
        child for name, group in zip(problem.turns.groups, problem.groups.groups, strict=True) for child in group
        if name in missing
    }  # fmt: skip
    assert {one.station for one in answer.owed} == {"C"}


def test_nobody_rests_where_there_is_room() -> None:
    problem = running()
    turns = replace(problem.turns, stations=(*problem.turns.stations, words.Station("E", 5.0, 9.0)))
    answer = solved(with_changes(replace(problem, turns=turns), Closed("D")))
    assert [answer.rotation.resting(turn) for turn in range(1, 5)] == [()] * 4


def test_groups_rest_for_once_where_nothing_else_can_be() -> None:
    problem = with_changes(running(), Closed("A"), Closed("B"), Closed("C"), AdultGone("D"))
    answer = solved(problem)
    assert [len(answer.rotation.resting(turn)) for turn in (2, 3, 4)] == [3, 3, 3]


def test_the_other_rotation_is_offered() -> None:
    problem = running()
    turns = replace(problem.turns, stations=(*problem.turns.stations, words.Station("E", 5.0, 9.0)))
    problem = with_changes(replace(problem, turns=turns), Closed("D"))
    first = solved(problem)
    other = second_best(problem, first)
    assert other is not None
    assert other.answer is not None
    assert violations(problem, other.answer) == []
    assert other.answer.groups == first.groups
    assert any(other.answer.rotation.resting(turn) for turn in range(1, 5))


def test_a_new_rotation_is_the_second_where_the_running_one_will_do() -> None:
    problem = running(12, 2, at_round=1)
    crossed = tuple(words.Station(name, x_m, 0.0) for name, x_m in zip("ABCD", (0.0, 30.0, 10.0, 20.0), strict=True))
    problem = with_changes(replace(problem, turns=replace(problem.turns, stations=crossed)), Closed("C", 4))
    first = solved(problem)
    assert first.rotation == problem.rotation
    other = second_best(problem, first)
    assert other is not None
    assert other.answer is not None
    assert violations(problem, other.answer) == []
    walked = [engine_rotation.walking_m(problem.turns, answer.rotation) for answer in (first, other.answer)]
    assert walked[1] < walked[0]


def test_no_other_rotation() -> None:
    problem = with_changes(running(4, 1, at_round=4), Closed("D"))
    assert second_best(problem, solved(problem)) is None


def test_the_second_rotation_when_both_ways_are_the_same() -> None:
    problem = with_changes(running(), Closed("A"), Closed("B"), Closed("C"), Closed("D"))
    assert second_best(problem, solved(problem)) is None


def test_games_that_lose_their_opponents() -> None:
    problem = running(12, 4)
    pairs = tuple(replace(station, groups_min=2, groups_max=2) for station in problem.turns.stations)
    turns = replace(problem.turns, stations=pairs)
    rounds = tuple(tuple(zip(turns.groups, stations, strict=True)) for stations in ("AABB", "BBAA", "CCDD", "DDCC"))
    plan = replace(problem, turns=turns, rotation=engine_rotation.Answer(rounds))
    answer = solved(with_changes(plan, Merged(0)))
    assert [len(answer.rotation.resting(turn)) for turn in (2, 3, 4)] == [2, 2, 2]  # one, and the group given up


def test_no_time_for_a_rotation() -> None:
    problem = with_changes(running(12, 4), Merged(0))
    pairs = tuple(replace(station, groups_min=2, groups_max=2) for station in problem.turns.stations)
    done = solve(replace(problem, turns=replace(problem.turns, stations=pairs)), limit=NO_TIME)
    assert done.status is Status.IMPOSSIBLE
    assert [reason.code for reason in done.reasons] == ["time"]


def test_a_dropped_round_with_a_station_closed() -> None:
    problem = with_changes(running(way=Way.DROP), Closed("C"), Lost(60))
    answer = solved(problem)
    assert len(answer.rotation.rounds) == 3
    other = second_best(problem, answer)
    assert other is not None
    assert other.answer is not None
    assert other.answer.way is Way.SHORTEN


def test_wrong_rotations_are_told() -> None:
    problem = with_changes(running(), Merged(0), Closed("C"))
    turns = solved(problem).rotation.rounds

    def complaints(*rounds: tuple[tuple[str, str | None], ...]) -> str:
        return " ".join(repair_turns.violations(problem, engine_rotation.Answer(rounds)))

    assert complaints(*turns) == ""
    assert "over was changed" in complaints(turns[1], *turns[1:])
    assert "There are 1 rounds." in complaints(turns[0])
    assert "still has a place" in complaints(turns[0], (("Red", "D"), *turns[1][1:]), *turns[2:])
    assert "closed" in complaints(*problem.rotation.rounds)


def test_the_running_rotation_is_right_as_long_as_nothing_touches_it() -> None:
    problem = with_changes(running(), Lost(60))
    assert repair_turns.violations(problem, problem.rotation) == []


def test_what_has_to_do_with_children_alone_leaves_groups_on_their_way() -> None:
    problem = with_changes(running(), Left("c000"))
    assert solved(problem).rotation == problem.rotation
