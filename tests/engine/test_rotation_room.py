"""How many groups the stations can take, counted and by trying."""

from __future__ import annotations

from itertools import product

import pytest

from clubapp.engine.rotation_problem import Problem
from clubapp.engine.rotation_room import Room, open_stations, room_of, totals
from clubapp.engine.words import Station
from tests.engine.rotations import CASES, groups, stations


@pytest.mark.parametrize("problem", CASES.values(), ids=CASES)
def test_numbers_of_groups_that_can_work_at_once(problem: Problem) -> None:
    places = open_stations(problem, problem.rounds)
    found = set()
    for counts in product(range(len(problem.groups) + 1), repeat=len(places)):
        running = [place for place, count in zip(places, counts, strict=True) if count]
        fit = all(not count or place.groups_min <= count <= place.groups_max
                  for place, count in zip(places, counts, strict=True))  # fmt: skip
        kit = all(
            sum(place.kit.get(kind, 0) for place in running) <= owned for kind, owned in problem.kit_owned.items()
        )
        adults = problem.staffed is None or len(running) <= problem.staffed
        if fit and kit and adults and sum(counts) <= len(problem.groups):
            found.add(sum(counts))
    assert totals(problem, problem.rounds) == found


def test_who_must_rest() -> None:
    assert room_of(Problem(groups(3), stations(2), 2)) == Room((1, 1), 0, False)
    assert room_of(Problem(groups(2), stations(3), 2)).rests == 0
    assert room_of(Problem(groups(2), stations(2), 3)).too_many_rounds
    shut = Problem(groups(2), stations(2), 2, closed=frozenset({("A", 1)}))
    assert room_of(shut) == Room((1, 0), 0, False)
    # Two places in the third round are no use to who has been at both: places are short over the whole time.
    few = Problem(groups(2), (Station("A", groups_max=2), Station("B")), 2, closed=frozenset({("A", 2)}))
    assert room_of(few).short == (0, 1)


def test_adults_for_too_few_stations_and_too_little_kit_stop_a_station() -> None:
    kit = Problem(groups(3), stations(3, kit={"cones": 4}), 1, kit_owned={"cones": 9})
    assert totals(kit, 1) == {0, 1, 2}
    assert totals(Problem(groups(3), stations(3), 1, staffed=1), 1) == {0, 1}
