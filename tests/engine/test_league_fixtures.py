from __future__ import annotations

from clubapp.engine import league_fixtures as fixtures
from clubapp.engine.league_problem import Kind, Problem

FIVE = Problem(tuple("abcde"), 1)


def test_an_odd_number_rests_by_turns() -> None:
    assert all(len(turn) == 2 for turn in fixtures.rounds(FIVE))
    assert len(fixtures.rounds(FIVE)) == 5


def test_twice_through_changes_sides() -> None:
    table = fixtures.rounds(Problem(tuple("abcd"), 1, again=True))
    assert len(table) == 6
    assert table[3:] == [[(two, one) for one, two in turn] for turn in table[:3]]


def test_pairs_stand_in_twos() -> None:
    table = fixtures.rounds(Problem(tuple("abcd"), 1, Kind.PAIRS))
    assert all(len(side) == 2 for turn in table for game in turn for side in game)


def test_time_cuts_the_end() -> None:
    whole, cut = fixtures.in_slots(FIVE, 1), fixtures.in_slots(Problem(tuple("abcde"), 1, slots=4), 1)
    assert cut == whole[:4]
    assert len(whole) == 10


def test_a_cost_is_slots_waits_and_games_apart() -> None:
    slots = [[(("a",), ("b",))], [(("a",), ("b",))], [(("c",), ("d",))]]
    assert fixtures.cost(Problem(tuple("abcd"), 1), slots) == (3, 2, 2)


def test_referees_are_those_who_rest_least_often_named_first() -> None:
    slots = fixtures.in_slots(Problem(tuple("abcde"), 2), 1)
    made = fixtures.refereed(Problem(tuple("abcde"), 2), slots)
    assert [sum(one.referee is None for one in slot) for slot in made] == [1] * 5
    assert sorted(one.referee for slot in made for one in slot if one.referee) == list("abcde")
