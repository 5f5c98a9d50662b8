"""What is asked of a chasing game, and what an answer is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from clubapp.engine.runners import Runner

NOBODY: Mapping[str, int] = MappingProxyType({})
GAP_YEARS = 4.0  # our rule of thumb; the coach may choose another
BACK_S = 60  # nobody who is out waits longer
LEAST_SHARE = 1 / 3  # of the others a set of chasers should be quicker than: below it is hopeless, our rule of thumb
PER_CHASER = 6  # children for each chaser where the coach does not say: our rule of thumb
ROUND_S = 5  # nobody calls out odd seconds


class Kind(StrEnum):
    FREEZE = "freeze"  # who is touched stands still until another child sets them free
    CHAIN = "chain"  # who is touched joins hands with the chasers
    TEAM = "team"  # one half chases the other, then the other way round
    LAST = "last"  # who is touched is out: last one standing


@dataclass(frozen=True)
class Child:
    """A child in a chasing game. years: of age, None where nobody wrote it down. easy: never a chaser."""

    runner: Runner
    years: float | None = None
    easy: bool = False

    @property
    def id(self) -> str:
        return self.runner.id


@dataclass(frozen=True)
class Problem:
    """chasers: at a time; None = as many as it takes that no set of them is hopeless. In a team game always half.

    seconds: for the whole game. spell_s, rest_s: of one turn and of the breath after it. gap_years: an older field and
        a younger one play apart above it. back_s: in kinds that put a child out, the seconds until a task brings them
        back; None = switched off. chased: how often each has been a chaser on earlier days.
    Raises ValueError for figures out of range, fewer than three children, or one of them twice.
    """

    children: tuple[Child, ...]
    kind: Kind = Kind.FREEZE
    chasers: int | None = None
    seconds: int = 480
    spell_s: int = 45
    rest_s: int = 15
    gap_years: float = GAP_YEARS
    back_s: int | None = BACK_S
    chased: Mapping[str, int] = field(default_factory=lambda: NOBODY)

    def __post_init__(self) -> None:
        ids = {child.id for child in self.children}
        if len(ids) < len(self.children) or len(ids) < 3:
            raise ValueError("a chasing game needs three children, nobody twice")
        if self.chasers is not None and self.chasers < 1:
            raise ValueError("somebody must chase")
        if self.spell_s < 1 or self.rest_s < 0 or self.seconds < self.spell_s or self.gap_years <= 0:
            raise ValueError("a game lasts a spell at least, and lengths are above 0")
        if self.back_s is not None and not 1 <= self.back_s <= BACK_S:
            raise ValueError(f"a child is back within {BACK_S} s, or coming back is switched off")

    @property
    def most_spells(self) -> int:
        """How many fit: spell, rest, spell, …"""
        return (self.seconds + self.rest_s) // (self.spell_s + self.rest_s)

    @property
    def eliminates(self) -> bool:
        """Whether a touched child is out for a while."""
        return self.kind is Kind.LAST

    @property
    def of(self) -> dict[str, Child]:
        return {child.id: child for child in self.children}


@dataclass(frozen=True)
class Field:
    """Children who play together. spells: the chasers of each turn, by id; all fields change at the same signal."""

    ids: tuple[str, ...]
    spells: tuple[tuple[str, ...], ...]

    @property
    def turns(self) -> dict[str, int]:
        """How often each is a chaser in this game."""
        return {child: sum(child in spell for spell in self.spells) for child in self.ids}


@dataclass(frozen=True)
class Answer:
    """back_s: of kinds that put a child out; else None."""

    fields: tuple[Field, ...]
    back_s: int | None = None


@dataclass(frozen=True)
class Area:
    """Metres. words: where the figure comes from."""

    length_m: int
    width_m: int
    words: str = "Our rule of thumb; no published figure. Make it larger if children bump into each other."


# Square metres a child: from these years on.
SPACE = ((0, 25), (10, 35), (13, 50))


def area(children: int, oldest_years: float) -> Area:
    """A rectangle, three long by two wide, with room for the number and the age; whole metres."""
    each = max(space for years, space in SPACE if oldest_years >= years)
    width = max(8.0, (children * each * 2 / 3) ** 0.5)
    return Area(round(1.5 * width), round(width))


def due_back(back_s: int | None, out_at_s: Mapping[str, int], now_s: int) -> tuple[str, ...]:
    """Who comes back now, longest out first; nobody where coming back is switched off."""
    if back_s is None:
        return ()
    due = sorted((at, child) for child, at in out_at_s.items() if now_s - at >= back_s)
    return tuple(child for _, child in due)
