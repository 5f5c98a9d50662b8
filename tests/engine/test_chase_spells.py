from __future__ import annotations

import random
from itertools import pairwise

import pytest

from clubapp.engine import chase_spells as spelling
from clubapp.engine.chase_problem import Child, Kind, Problem
from tests.strategies import runners


def problem(count: int, **more: object) -> Problem:
    easy = more.pop("easy", ())
    children = tuple(Child(one, 10.0, at in easy) for at, one in enumerate(runners(count, 2)))  # type: ignore[operator]
    return Problem(children, **more)  # type: ignore[arg-type]


def land(asked: Problem) -> spelling.Ground:
    return spelling.ground(asked, tuple(asked.of))


def test_a_share_is_a_mean_of_chances() -> None:
    ground = land(problem(4))
    assert ground.share([0]) == pytest.approx(ground.beats[0, 1:].mean())
    assert ground.share([0, 3]) >= ground.share([3])


def test_how_many_chase() -> None:
    assert spelling.chasers(problem(9, kind=Kind.TEAM), land(problem(9))) == 4
    assert spelling.chasers(problem(9, chasers=3), land(problem(9))) == 3
    assert spelling.chasers(problem(3, chasers=3), land(problem(3))) == 1
    assert spelling.chasers(problem(12), land(problem(12))) >= 2
    alone = problem(6, easy=(0, 1, 2, 3, 4))
    assert spelling.chasers(alone, land(alone)) == 1


def test_helpers_are_added_until_nobody_is_hopeless() -> None:
    ground = land(problem(9))
    found = spelling.chasers(problem(9), ground)
    middle = len(ground.able) // 2
    assert ground.share([ground.able[-1]]) < 1 / 3
    assert ground.share([ground.able[-1], *ground.able[middle : middle + found - 1]]) >= 1 / 3 or found == 3


def test_spells_give_equal_turns_where_they_fit() -> None:
    assert spelling.count_spells(problem(10), 10, 2) == 5
    assert spelling.count_spells(problem(10), 7, 2) == 7
    assert spelling.count_spells(problem(10), 23, 2) == 8


@pytest.mark.parametrize("kind", Kind)
@pytest.mark.parametrize("count", [4, 7, 8, 12])
def test_turns_are_apart_and_equal(kind: Kind, count: int) -> None:
    asked = problem(count, kind=kind)
    ground = land(asked)
    at_a_time = min(spelling.chasers(asked, ground), count // 2)
    spells = spelling.draw(asked, ground, (6, at_a_time), random.Random(3))
    assert all(not set(one) & set(two) for one, two in pairwise(spells))
    had = [sum(at in spell for spell in spells) for at in ground.able]
    assert max(had) - min(had) <= 1
    assert spelling.worth(ground, spells)[0] == 0


def test_who_chased_least_has_the_turn_more() -> None:
    asked = problem(5, chased={f"c00{at}": 1 for at in range(4)})
    taken = spelling.turns(asked, land(asked), 1, random.Random(1))
    assert land(asked).ids[taken[0]] == "c004"


def test_one_spell_is_not_searched() -> None:
    asked = problem(5)
    assert len(spelling.draw(asked, land(asked), (1, 2), random.Random(1))) == 1


def test_clashes_count() -> None:
    ground = land(problem(5))
    assert spelling.worth(ground, [[0, 1], [1, 2]])[0] == -1
    assert spelling.worth(ground, [[0, 0], [1, 2]])[0] == -10


def test_no_spells_pass_the_bound() -> None:
    asked = problem(8)
    ground = land(asked)
    spells = spelling.draw(asked, ground, (8, 2), random.Random(1))
    assert min(ground.share(spell) for spell in spells) <= spelling.bound(ground, 2)
    assert spelling.bound(land(problem(24)), 8) == 1.0
