"""Serpentine dealing, as athletics meetings fill heats.

Source: World Athletics Technical Rules, TR20.3 (formerly IAAF Rule 166.3), whose own example is 24 in three heats; the
other fields are the same rule written out. The rule's number and example are from memory; that heats are filled this
way is said by published descriptions of the method.
"""

from __future__ import annotations

import pytest

from clubapp.engine import designs
from clubapp.engine.groups import Problem, serpentine
from clubapp.engine.words import Athlete
from tests.strategies import EVENING

FIELDS = {
    (24, 3): ["1 6 7 12 13 18 19 24", "2 5 8 11 14 17 20 23", "3 4 9 10 15 16 21 22"],
    (24, 4): ["1 8 9 16 17 24", "2 7 10 15 18 23", "3 6 11 14 19 22", "4 5 12 13 20 21"],
    (24, 6): ["1 12 13 24", "2 11 14 23", "3 10 15 22", "4 9 16 21", "5 8 17 20", "6 7 18 19"],
    (16, 2): ["1 4 5 8 9 12 13 16", "2 3 6 7 10 11 14 15"],
    (8, 2): ["1 4 5 8", "2 3 6 7"],
    (23, 4): ["1 8 9 16 17", "2 7 10 15 18 23", "3 6 11 14 19 22", "4 5 12 13 20 21"],
    (22, 3): ["1 6 7 12 13 18 19", "2 5 8 11 14 17 20", "3 4 9 10 15 16 21 22"],
}
SUMS = {(24, 3): [100] * 3, (24, 4): [75] * 4, (24, 6): [50] * 6, (16, 2): [68] * 2, (8, 2): [18] * 2}
SUMS |= {(23, 4): [51, 75, 75, 75], (22, 3): [76, 77, 100]}


@pytest.mark.parametrize("field", FIELDS)
def test_ranks_are_dealt_as_published(field: tuple[int, int]) -> None:
    count, heats = field
    dealt: list[list[int]] = [[] for _ in range(heats)]
    for rank, heat in enumerate(designs.serpentine(count, heats), start=1):
        dealt[heat].append(rank)
    assert [" ".join(map(str, ranks)) for ranks in dealt] == FIELDS[field]
    assert [sum(ranks) for ranks in dealt] == SUMS[field]


@pytest.mark.parametrize("field", FIELDS)
def test_children_are_dealt_by_speed_the_same_way(field: tuple[int, int]) -> None:
    count, groups = field
    squad = tuple(Athlete(f"{rank:02}", {"speed_s": 4 + rank / 10}) for rank in range(1, count + 1))
    answer = serpentine(Problem(squad, EVENING, groups), by="speed_s")
    assert [" ".join(str(int(child)) for child in group) for group in answer.groups] == FIELDS[field]


@pytest.mark.parametrize("count", range(2, 31))
@pytest.mark.parametrize("heats", range(2, 7))
def test_what_holds_for_every_field(count: int, heats: int) -> None:
    dealt = [[rank for rank, heat in enumerate(designs.serpentine(count, heats), 1) if heat == h] for h in range(heats)]
    sizes = [len(ranks) for ranks in dealt]
    assert max(sizes) - min(sizes) <= 1
    assert len({designs.serpentine(count, heats)[rank] for rank in range(min(heats, count))}) == min(heats, count)
    assert all(ranks == sorted(ranks) for ranks in dealt)
    if count % (2 * heats) == 0:
        assert len({sum(ranks) for ranks in dealt}) == 1
    elif count % heats == 0:
        assert len({sum(ranks) for ranks in dealt}) > 1
