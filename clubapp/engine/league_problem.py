"""What is asked of fixtures, and what an answer is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from clubapp.engine.designs import WHIST


class Kind(StrEnum):
    TEAMS = "teams"  # everybody against everybody (Berger)
    PAIRS = "pairs"  # two against two: with everybody once, against everybody twice (whist)


PLAYERS = {Kind.TEAMS: tuple(range(2, 17)), Kind.PAIRS: tuple(sorted(WHIST))}


@dataclass(frozen=True)
class Problem:
    """sides: ids of teams, or of children who play two against two. pitches: how many games go on at once.

    slots: how many there is time for; None = all it takes. again: everybody a second time with sides changed.
    Raises ValueError for a number of sides without a table, or for figures out of range.
    """

    sides: tuple[str, ...]
    pitches: int
    kind: Kind = Kind.TEAMS
    slots: int | None = None
    again: bool = False

    def __post_init__(self) -> None:
        if len(set(self.sides)) < len(self.sides) or len(self.sides) not in PLAYERS[self.kind]:
            known = ", ".join(map(str, PLAYERS[self.kind]))
            raise ValueError(f"there are tables for {known}, nobody twice; not for {len(self.sides)}")
        if self.pitches < 1 or (self.slots is not None and self.slots < 1):
            raise ValueError("there must be a pitch and time for a game")
        if self.again and self.kind is Kind.PAIRS:
            raise ValueError("two against two is played once through")


@dataclass(frozen=True)
class Fixture:
    """first, second: who plays, one id a team, two in pairs; the first has the first side. referee: of those who rest,
    None where nobody does.
    """

    pitch: int
    first: tuple[str, ...]
    second: tuple[str, ...]
    referee: str | None = None

    @property
    def players(self) -> tuple[str, ...]:
        return (*self.first, *self.second)


@dataclass(frozen=True)
class Answer:
    """slots: the games that go on at once, one slot after the other."""

    slots: tuple[tuple[Fixture, ...], ...]

    @property
    def fixtures(self) -> tuple[Fixture, ...]:
        return tuple(fixture for slot in self.slots for fixture in slot)
