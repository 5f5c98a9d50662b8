from __future__ import annotations

import pytest

from clubapp.engine.league_table import Points, Result, Tie, Until, standings


def places(teams: str, *games: tuple[str, str, int, int]) -> dict[str, int]:
    results = [Result(first, second, (one, two)) for first, second, one, two in games]
    return {row.team: row.place for row in standings(list(teams), results)}


@pytest.mark.parametrize(
    "wrong", [{}, {"first_to": 3, "best_of": 3}, {"first_to": 0}, {"best_of": 4}, {"first_to": 3, "lead": 0}]
)
def test_a_game_ends_one_way(wrong: dict[str, int]) -> None:
    with pytest.raises(ValueError, match="best of"):
        Until(**wrong)


def test_first_to_so_many_with_a_lead() -> None:
    game = Until(first_to=11, lead=2)
    assert [game.winner(*s) for s in ((10, 0), (11, 9), (11, 10), (12, 10), (10, 12))] == [None, 1, None, 1, 2]


def test_best_of_ends_when_nobody_can_catch_up() -> None:
    game = Until(best_of=5)
    assert [game.winner(*score) for score in ((2, 0), (3, 0), (2, 3), (2, 2))] == [None, 1, 2, None]


def test_points_and_figures_of_a_row() -> None:
    results = [Result("a", "b", (2, 1)), Result("b", "a", (0, 0))]
    first, second = standings(["a", "b"], results)
    assert (first.team, first.played, first.won, first.drawn, first.lost) == ("a", 2, 1, 1, 0)
    assert (first.scored, first.got, first.points, second.points, second.lost) == (2, 1, 4, 1, 1)
    assert standings(["a", "b"], results, Points(2, 1, 0))[0].points == 3


def test_games_between_equals_come_before_goals() -> None:
    found = places("abc", ("a", "b", 1, 0), ("b", "c", 9, 0), ("c", "a", 3, 2), ("a", "c", 0, 0), ("b", "a", 0, 0))
    assert list(found) == ["a", "b", "c"]
    two = places("ab", ("b", "x", 9, 0), ("a", "b", 1, 0))
    assert two == {"a": 1, "b": 2}


def test_then_the_difference_then_goals_then_the_place_is_shared() -> None:
    ring = (("a", "b", 3, 0), ("b", "c", 1, 0), ("c", "a", 1, 0))
    assert places("abc", *ring) == {"a": 1, "c": 2, "b": 3}
    scored = (("a", "b", 2, 1), ("b", "c", 2, 1), ("c", "a", 1, 0))
    assert places("abc", *scored) == {"b": 1, "a": 2, "c": 2} or places("abc", *scored)["b"] == 1
    assert places("abcd", ("a", "b", 1, 1), ("c", "d", 2, 2)) == {"c": 1, "d": 1, "a": 3, "b": 3}


def test_without_tie_rules_equals_share() -> None:
    results = [Result("a", "b", (2, 1)), Result("b", "a", (5, 0))]
    assert [row.place for row in standings(["a", "b"], results, ties=())] == [1, 1]
    assert [row.team for row in standings(["a", "b"], results, ties=(Tie.DIFFERENCE,))] == ["b", "a"]
