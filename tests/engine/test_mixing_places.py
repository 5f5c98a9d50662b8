"""Groups that are new in every round, and where they work."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from clubapp.engine.limits import Limit
from clubapp.engine.mixing import Answer, Problem, solve, violations
from clubapp.engine.mixing_places import Places, again, at_stations, visited
from clubapp.engine.words import Station
from tests.engine.test_mixing import DAY, children

SIX = tuple(Station(name) for name in "ABCDEF")


def rounds_of(count: int, groups: int, rounds: int) -> Answer:
    problem = Problem(children(count), DAY, groups, rounds)
    answer = solve(problem, limit=Limit(deterministic=0.05)).answer
    assert answer is not None
    assert violations(problem, answer) == []
    return answer


def repeated(answer: Answer, at: Places) -> int:
    """Anew from the answer."""
    pairs = [(child, station) for groups, row in zip(answer.rounds, at, strict=True)
             for group, station in zip(groups, row, strict=True) for child in group]  # fmt: skip
    assert again(Counter(pairs)) == len(pairs) - len(set(pairs))
    return len(pairs) - len(set(pairs))


def test_each_child_comes_to_nearly_as_many_stations_as_there_are_rounds() -> None:
    answer = rounds_of(24, 6, 6)
    at = at_stations(answer, SIX)
    assert at is not None
    assert all(sorted(row) == list("ABCDEF") for row in at)
    # By lot a child comes to 6 x (1 - (5/6)^6) = 4 of the six.
    assert repeated(answer, at) < 24 * 1.4
    least, most = visited(answer, at)
    assert 3 <= least <= most <= 6
    assert at == at_stations(answer, SIX)


def test_two_rounds_never_at_the_same_station_where_that_can_be() -> None:
    answer = rounds_of(9, 3, 2)
    at = at_stations(answer, (*SIX[:3], Station("D"), Station("E"), Station("F")))
    assert at is not None
    assert (repeated(answer, at), visited(answer, at)) == (0, (2, 2))


def test_smallest_and_largest_numbers_of_groups_are_kept() -> None:
    answer = rounds_of(12, 4, 3)
    game = Station("game", groups_min=2, groups_max=3)
    at = at_stations(answer, (game, *SIX[:2]))
    assert at is not None
    assert all(row.count("game") in (2, 3) and max(row.count("A"), row.count("B")) <= 1 for row in at)
    assert at_stations(answer, SIX[:3]) is None
    assert at_stations(answer, (replace(game, groups_min=3), game)) is None
    assert at_stations(answer, (game, replace(game, id="other"))) is not None


@pytest.mark.parametrize("groups", [1, 5])
def test_one_group_alone_goes_from_station_to_station(groups: int) -> None:
    answer = rounds_of(5, groups, 3)
    at = at_stations(answer, SIX[:5])
    assert at is not None
    assert visited(answer, at)[1] == 3
