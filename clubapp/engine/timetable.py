"""Rounds, change-overs, water and the other parts of the evening, fitted into the minutes there are."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Kind(StrEnum):
    GATHER = "gather"
    WARM_UP = "warm-up"
    WORK = "work"
    CHANGE = "change"
    WATER = "water"
    GAME = "game"
    COOL_DOWN = "cool-down"


@dataclass(frozen=True)
class Problem:
    """minutes: for everything named here; None = as long as it takes. Seconds are taken up to whole fives.

    rounds: how often work is done. work_s: None = as long as the minutes allow. change_s: None = a minute; a
        change-over is never shorter than its walk.
    walks_m: for each change-over the metres of the group that has farthest to go; may be shorter than there are
        change-overs. walk_m_s: metres a second.
    water_every_s: nobody goes longer than this without a water break of water_s; None = no breaks.
    gather_s, warm_up_s, game_s, cool_down_s: 0 = there is no such part.
    least_work_s: a shorter turn is not worth setting up for.
    Raises ValueError for figures out of range, and where neither minutes nor work_s is given.
    """

    minutes: int | None
    rounds: int
    work_s: int | None = None
    change_s: int | None = None
    walks_m: tuple[float, ...] = ()
    walk_m_s: float = 1.2
    water_every_s: int | None = None
    water_s: int = 120
    gather_s: int = 0
    warm_up_s: int = 0
    game_s: int = 0
    cool_down_s: int = 0
    least_work_s: int = 60


@dataclass(frozen=True)
class Entry:
    """One part. round: of work its number, of a change-over or water after it the round just worked; else None."""

    kind: Kind
    seconds: int
    round: int | None = None


@dataclass(frozen=True)
class Answer:
    """Parts in the order in which they happen."""

    entries: tuple[Entry, ...]

    @property
    def seconds(self) -> int:
        """From the start of the first part to the end of the last."""
        return sum(entry.seconds for entry in self.entries)

    @property
    def work_s(self) -> int:
        """Seconds of one turn."""
        return next(entry.seconds for entry in self.entries if entry.kind is Kind.WORK)
