from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given

from clubapp.engine import layout, layout_rules
from clubapp.engine.layout import Answer, Ground, Place, Problem, Station
from clubapp.engine.limits import Limit
from clubapp.engine.outcome import Status
from tests.engine.layouts import FIELD, SHORT, problems, square, stations
from tests.strategies import examples

EVENING = Problem(FIELD, stations(4))


@examples(5)
@given(problems())
def test_everything_stands_inside_apart_and_with_its_run_out_clear_or_the_reasons_say_why(problem: Problem) -> None:
    found = layout.solve(problem, limit=SHORT)
    if found.answer is None:
        assert found.status is Status.IMPOSSIBLE
        assert found.reasons
        return
    assert layout.violations(problem, found.answer) == []
    assert found.bound <= found.score == layout.score(problem, found.answer)
    rooms = [problem.room(place) for place in found.answer.places]
    assert all(not a.meets(b, problem.aisle) for at, a in enumerate(rooms) for b in rooms[:at])


def cheapest(problem: Problem) -> int:
    """What the best way to place two stations costs that keeps the rules: none left out, no solver."""
    one, two = (
        [Place(one.id, x, y, turn) for turn in one.turns for x in range(0, 90, 5) for y in range(0, 90, 5)]
        for one in problem.stations
    )
    alone = [[place for place in places if layout_rules.grounded(problem, place) is None] for places in (one, two)]
    answers = (Answer(pair) for pair in product(*alone))
    ranked = sorted((layout_rules.cost(problem, answer), at, answer) for at, answer in enumerate(answers))
    return next(worth for worth, _at, answer in ranked if not layout.violations(problem, answer))


def test_a_tiny_ground_is_solved_to_the_best_there_is() -> None:
    ground = replace(square(90), closed=(layout.Box(30, 0, 35, 20),), water=(90, 60))
    made = (Station("a", 15, 20, (15, 0, 0, 0)), Station("b", 20, 15, (0, 0, 10, 0), loud=True))
    problem = Problem(ground, (made[0], replace(made[1], hears=True)))
    found = layout.solve(problem, limit=Limit(deterministic=20.0))
    assert found.status is Status.BEST
    assert found.score * layout.UNIT == cheapest(problem)


def test_never_worse_than_the_plain_way_or_what_was_there_and_the_same_again() -> None:
    first = layout.solve(EVENING, limit=SHORT)
    assert first.answer is not None
    assert first.score <= layout.score(EVENING, plain())
    assert layout.solve(EVENING, limit=SHORT).answer == first.answer
    again = layout.solve(EVENING, limit=Limit(deterministic=0.0001), start=first.answer)
    assert (again.score, again.status) == (first.score, Status.SIMPLE)


def plain() -> Answer:
    found = layout.plain(EVENING)
    assert found is not None
    return found


def test_one_is_moved_and_the_others_stay() -> None:
    stay = plain().places[:2]
    found = layout.solve(replace(EVENING, fixed=stay), limit=SHORT)
    assert found.answer is not None
    assert found.answer.places[:2] == stay


def test_what_cannot_stay_is_named_before_anything_is_sought() -> None:
    found = layout.solve(replace(EVENING, fixed=(Place("s0", 180, 100),)), limit=SHORT)
    assert [(reason.code, reason.about) for reason in found.reasons] == [("stays", ("s0",))]


def test_without_time_it_says_that_nothing_was_proven(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(layout, "plain", lambda problem: None)
    found = layout.solve(EVENING, limit=Limit(deterministic=1e-9))
    assert [reason.code for reason in found.reasons] == ["time"]


def test_too_little_ground_says_so() -> None:
    found = layout.solve(Problem(square(100), (Station("a", 90, 90),)), limit=SHORT)
    assert [reason.about for reason in found.reasons] == [("a",)]


def test_any_places_are_found_where_shelves_leave_none() -> None:
    rooms = tuple(Station(name, wide, long) for name, wide, long in (("a", 60, 80), ("b", 60, 30), ("c", 40, 60)))
    tight = Problem(Ground(((0, 0), (160, 0), (160, 120), (0, 120))), rooms)
    assert layout.plain(tight) is None
    found = layout.fits(tight, limit=SHORT)
    assert found is not None
    assert layout.violations(tight, found) == []
    assert layout.fits(EVENING) == plain()
    assert layout.fits(Problem(square(100), (Station("a", 90, 90),)), limit=SHORT) is None


def test_nothing_to_place() -> None:
    assert layout.solve(Problem(Ground(((0, 0), (9, 0), (9, 9))), ()), limit=SHORT).answer == Answer(())
