"""When a game is over, and how teams stand. The rules are data, so that the page can print them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby


class Tie(StrEnum):
    """What decides between teams with the same points, in the order in which it is asked."""

    BETWEEN = "the points from the games between them"
    DIFFERENCE = "goals for less goals against, over all games"
    SCORED = "goals for, over all games"


TIES = (Tie.BETWEEN, Tie.DIFFERENCE, Tie.SCORED)
LAST_WORD = "Who is still equal shares the place, and the next place is left out."


@dataclass(frozen=True)
class Until:
    """A game ends: first_to = with so many points, ahead by lead; or best_of = as soon as nobody can catch up in so
    many (odd) points or sets. Raises ValueError unless exactly one is given, above 0.
    """

    first_to: int | None = None
    best_of: int | None = None
    lead: int = 1

    def __post_init__(self) -> None:
        if (self.first_to is None) == (self.best_of is None) or self.lead < 1:
            raise ValueError("either first to so many, or best of so many, ahead by one or more")
        if (self.first_to or self.best_of or 0) < 1 or (self.best_of or 1) % 2 == 0:
            raise ValueError("first to one or more; best of an odd number")

    def winner(self, first: int, second: int) -> int | None:
        """1 or 2, or None while the game goes on."""
        needed = self.first_to if self.first_to is not None else (self.best_of or 0) // 2 + 1
        ahead = 1 if self.best_of is not None else self.lead
        if max(first, second) >= needed and abs(first - second) >= ahead:
            return 1 if first > second else 2
        return None


@dataclass(frozen=True)
class Result:
    """A finished game between two teams."""

    first: str
    second: str
    goals: tuple[int, int]


@dataclass(frozen=True)
class Points:
    win: int = 3
    draw: int = 1
    loss: int = 0

    def of(self, scored: int, got: int) -> int:
        return self.win if scored > got else self.draw if scored == got else self.loss


@dataclass(frozen=True)
class Row:
    """One team. place: equals share it."""

    team: str
    place: int
    played: int
    won: int
    drawn: int
    lost: int
    scored: int
    got: int
    points: int


POINTS = Points()
Levels = list[list[str]]


def standings(
    teams: Sequence[str], results: Sequence[Result], points: Points = POINTS, ties: Sequence[Tie] = TIES
) -> tuple[Row, ...]:
    """Teams from first to last; equals in the order they were given. Of teams only: children are not ranked."""
    total = {team: sum(points.of(*goals) for goals in _goals(team, results)) for team in teams}
    rows: list[Row] = []
    for same in _levels(teams, total):
        for level in _untied(same, results, points, ties):
            place = len(rows) + 1
            rows += [_row(team, place, total[team], results) for team in level]
    return tuple(rows)


def _goals(team: str, results: Iterable[Result]) -> list[tuple[int, int]]:
    """What the team scored and got in each of its games."""
    own = [one.goals for one in results if one.first == team]
    return [*own, *(one.goals[::-1] for one in results if one.second == team)]


def _levels(teams: Iterable[str], worth: Mapping[str, int]) -> Levels:
    """Teams of the same worth together, the highest first."""
    ordered = sorted(teams, key=lambda team: -worth[team])
    return [list(same) for _, same in groupby(ordered, key=lambda team: worth[team])]


def _untied(teams: list[str], results: Sequence[Result], points: Points, ties: Sequence[Tie]) -> Levels:
    """Rule after rule, each asked anew of those who are still equal."""
    if len(teams) == 1 or not ties:
        return [teams]
    parts = _levels(teams, {team: _worth(team, teams, results, (points, ties[0])) for team in teams})
    return [level for part in parts for level in _untied(part, results, points, ties[1:])]


def _worth(team: str, teams: Sequence[str], results: Sequence[Result], rule: tuple[Points, Tie]) -> int:
    points, tie = rule
    if tie is Tie.BETWEEN:
        between = [one for one in results if one.first in teams and one.second in teams]
        return sum(points.of(*goals) for goals in _goals(team, between))
    goals = _goals(team, results)
    got = sum(got for _, got in goals) if tie is Tie.DIFFERENCE else 0
    return sum(scored for scored, _ in goals) - got


def _row(team: str, place: int, points: int, results: Sequence[Result]) -> Row:
    goals = _goals(team, results)
    won = sum(scored > got for scored, got in goals)
    drawn = sum(scored == got for scored, got in goals)
    lost = len(goals) - won - drawn
    scored, got = sum(one for one, _ in goals), sum(one for _, one in goals)
    return Row(team, place, len(goals), won, drawn, lost, scored, got, points)
