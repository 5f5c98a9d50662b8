"""Fixtures against published tables: Berger for 4 to 16 teams, the double round of eight, two against two.

Sources: FIDE Handbook C.05 Annex 1, as printed at c.w.fox.tripod.com/chess/berger.html, which also says to change the
last two rounds before the second cycle; the double table of eight as quoted in public source code; whist tables from
cyclic starters (that they exist: Haanpää & Kaski 2005). The tables themselves have checks in test_berger, test_whist.
"""

from __future__ import annotations

import pytest

from clubapp.engine import league
from clubapp.engine.league import Kind, Problem
from tests.published.tables import numbers


def played(problem: Problem) -> list[list[tuple[int, ...]]]:
    answer = league.solve(problem).answer
    assert answer is not None
    return [sorted(tuple(map(int, one.players)) for one in slot) for slot in answer.slots]


@pytest.mark.parametrize("teams", range(4, 17, 2))
def test_with_a_pitch_for_every_game_the_slots_are_the_printed_rounds(teams: int) -> None:
    printed: list[list[tuple[int, ...]]] = [[] for _ in range(teams - 1)]
    for size, turn, _, first, second in numbers("berger_tables.csv"):
        if size == teams:
            printed[turn - 1].append((first, second))
    asked = Problem(tuple(map(str, range(1, teams + 1))), teams // 2)
    assert played(asked) == [sorted(turn) for turn in printed]


@pytest.mark.parametrize("teams", range(5, 16, 2))
def test_of_an_odd_number_the_last_of_the_next_table_is_the_rest(teams: int) -> None:
    printed: list[list[tuple[int, ...]]] = [[] for _ in range(teams)]
    for size, turn, _, first, second in numbers("berger_tables.csv"):
        if size == teams + 1 and teams + 1 not in (first, second):
            printed[turn - 1].append((first, second))
    assert played(Problem(tuple(map(str, range(1, teams + 1))), teams // 2)) == [sorted(turn) for turn in printed]


def test_the_double_round_of_eight() -> None:
    slots = played(Problem(tuple(map(str, range(1, 9))), 4, again=True))
    quoted = {
        6: "4-8 5-3 6-2 7-1",
        7: "8-7 1-6 2-5 3-4",
        8: "8-1 7-2 6-3 5-4",
        13: "8-4 3-5 2-6 1-7",
        14: "7-8 6-1 5-2 4-3",
    }
    for turn, games in quoted.items():
        assert slots[turn - 1] == sorted(tuple(map(int, game.split("-"))) for game in games.split())


@pytest.mark.parametrize("players", [4, 8, 12, 16, 20, 24])
def test_pairs_are_the_whist_table(players: int) -> None:
    printed: list[list[tuple[int, ...]]] = [[] for _ in range(players - 1)]
    for size, turn, _, *four in numbers("whist_designs.csv"):
        if size == players:
            printed[turn - 1].append(tuple(four))
    asked = Problem(tuple(map(str, range(1, players + 1))), players // 4, Kind.PAIRS)
    assert played(asked) == [sorted(turn) for turn in printed]
