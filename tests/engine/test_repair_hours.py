"""When it all happens now, and what becomes of lost time."""

from __future__ import annotations

from dataclasses import replace

import pytest

from clubapp.engine import repair_hours
from clubapp.engine import timetable as engine_timetable
from clubapp.engine.repair import Closed, Lost, Way, longer, solve, violations
from clubapp.engine.repair_hours import Hours
from clubapp.engine.timetable import Entry, Kind
from tests.engine.repairs import running, solved, with_changes


def test_a_walk_that_became_longer_has_its_time() -> None:
    problem = running()
    far = tuple(
        replace(station, x_m=100.0 * at)
        for at, station in enumerate("ABCD")
        for station in [problem.turns.station[station]]
    )
    answer = solved(with_changes(replace(problem, turns=replace(problem.turns, stations=far)), Closed("B")))
    changes = [entry.seconds for entry in answer.hours.entries if entry.kind is Kind.CHANGE]
    assert max(changes) > 60
    assert answer.way is Way.SHORTEN
    assert answer.over_s <= 0


def test_lost_time_shortens_the_rounds_to_come_equally() -> None:
    problem = with_changes(running(), Lost(100))
    answer = solved(problem)
    works = [entry.seconds for entry in answer.hours.entries if entry.kind is Kind.WORK]
    assert works == [300, 265, 265, 265]
    assert (answer.way, answer.over_s) == (Way.SHORTEN, -5)


def test_too_much_is_lost_to_shorten() -> None:
    problem = with_changes(running(least_work_s=120), Lost(700))
    answer = solved(problem)
    assert answer.way is Way.DROP
    assert len(answer.rotation.rounds) == 2 < 4
    water = [entry.seconds for entry in answer.hours.entries if entry.kind is Kind.WATER]
    assert water == [entry.seconds for entry in problem.hours.entries if entry.kind is Kind.WATER]
    planned = {(child, station) for child in problem.seat for station in "ABCD"}
    assert {(one.athlete, one.station) for one in answer.owed} < planned
    assert len(answer.owed) == 2 * len(problem.seat)


def test_the_time_a_dropped_round_frees_goes_to_the_others() -> None:
    problem = with_changes(running(way=Way.DROP), Lost(100))
    done = solve(problem)
    assert done.answer is not None
    assert done.answer.over_s == 100 - 360
    given = longer(problem, done)
    assert given is not None
    assert given.answer is not None
    works = [entry.seconds for entry in given.answer.hours.entries if entry.kind is Kind.WORK]
    assert works == [300, 430, 430]
    assert given.answer.over_s == 0
    assert violations(problem, given.answer) == []
    assert longer(problem, given) is None
    assert longer(problem, solve(replace(problem, way=Way.OVER))) is None


@pytest.mark.parametrize(("over_s", "more"), [(-14, 5), (-9, 0), (-1, 0), (0, 0), (30, 0)])
def test_only_whole_fives_for_every_round_are_given(over_s: int, more: int) -> None:
    problem = with_changes(running(at_round=3), Lost(60))
    given = repair_hours.lengthened(problem, Hours(problem.hours, over_s))
    assert (None if given is None else given.over_s) == (over_s + 2 * more if more else None)


def test_wrong_times_are_told() -> None:
    problem = with_changes(running(), Lost(100))
    answer = solved(problem)
    entries = answer.hours.entries

    def complaints(*changed: Entry) -> str:
        hours = engine_timetable.Answer(changed)
        return " ".join(repair_hours.violations(problem, answer.rotation, hours, answer.way))

    assert complaints(*entries) == ""
    assert "whole fives" in complaints(replace(entries[0], seconds=301), *entries[1:])
    assert "Water or another part" in complaints(*(e for e in entries if e.kind is not Kind.WATER))
    assert "rounds, one after" in complaints(*(e for e in entries if e.round != 3))
    assert "part that is over" in complaints(*(replace(e, seconds=5) if e.round == 1 else e for e in entries))
    assert "equally long" in complaints(*(replace(e, seconds=5) if e.round == 3 else e for e in entries))
    short = (replace(e, seconds=5) if e.kind is Kind.CHANGE else e for e in entries)
    assert "shorter than its walk" in complaints(*short)
    assert "take turns" in complaints(*(e for e in entries if e.kind is not Kind.CHANGE))
    assert "later than planned" in complaints(*entries, replace(entries[-1], seconds=600))


def test_nothing_makes_up_for_so_much() -> None:
    problem = with_changes(running(), Lost(3000))
    hours = repair_hours.after(problem, problem.rotation)
    assert (hours.answer, hours.over_s) == (problem.hours, 3000)
    assert repair_hours.shortened(problem, hours) is None
