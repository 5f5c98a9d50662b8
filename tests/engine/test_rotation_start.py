"""Closed forms laid over the stations."""

from __future__ import annotations

from itertools import pairwise, permutations

import pytest

from clubapp.engine.rotation_plain import cyclic
from clubapp.engine.rotation_problem import Problem
from clubapp.engine.rotation_rules import costs, longest_hard_run, score, violations
from clubapp.engine.rotation_start import starts, suited, williams
from clubapp.engine.words import Station
from tests.engine.rotations import field, groups


def test_the_order_is_the_shortest_way_round() -> None:
    problem = Problem(groups(5), field(5, 2), 5)
    best = min(score(problem, cyclic(problem, order)) for order in permutations([s.id for s in problem.stations]))
    assert score(problem, suited(problem, lambda order: cyclic(problem, order), 0)) == pytest.approx(best)


def test_hard_and_easy_take_turns_before_walking_counts() -> None:
    along = zip("ABCDEF", (0, 1, 2, 50, 51, 52), strict=True)
    problem = Problem(groups(6), tuple(Station(n, x, 0.0, hard=n in "ABC") for n, x in along), 6, max_hard_run=1)
    first, *_ = starts(problem, 0)
    assert longest_hard_run(problem, first) == 1


def test_a_square_gives_each_succession_once() -> None:
    problem = Problem(groups(4), field(4, 1), 4, balanced_succession=True)
    first, *_ = starts(problem, 0)
    steps = [step for group in problem.groups for step in pairwise(first.path(group))]
    assert len(set(steps)) == len(steps) == 12
    assert costs(problem, first).successions_again == 0


def test_fewer_groups_and_rounds_take_a_part_of_the_square() -> None:
    problem = Problem(groups(3), field(6, 1), 4, balanced_succession=True)
    answer = williams(problem, [station.id for station in problem.stations])
    assert [len(answer.rounds), len(answer.rounds[0])] == [4, 3]
    assert violations(problem, answer) == []


def test_no_start_where_rounds_are_over_or_too_many_or_nothing_fits() -> None:
    problem = Problem(groups(4), field(4, 1), 4)
    begun = Problem(groups(4), field(4, 1), 4, fixed=starts(problem, 0)[0].rounds[:1])
    assert starts(begun, 0) == []
    assert starts(Problem(groups(4), field(4, 1), 5), 0) == []
    games = tuple(Station(name, groups_min=2, groups_max=2) for name in "ABC")
    assert starts(Problem(groups(5), games, 3), 0) == []
    more = Problem(groups(6), field(4, 1), 4, balanced_succession=True)
    assert all(violations(more, start) == [] for start in starts(more, 0))
