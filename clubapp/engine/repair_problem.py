"""A plan that runs, what changed, and what an answer looks like. The public face is clubapp.engine.repair."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property

from clubapp.engine import groups as engine_groups
from clubapp.engine import rotation as engine_rotation
from clubapp.engine import timetable as engine_timetable
from clubapp.engine.outcome import Reason


@dataclass(frozen=True)
class Left:
    """A child has gone."""

    athlete: str


@dataclass(frozen=True)
class Late:
    """A child is here who is in no group yet."""

    athlete: str


@dataclass(frozen=True)
class Closed:
    """Nobody can be at a station from a round on; None = from the round the plan is in."""

    station: str
    from_round: int | None = None


@dataclass(frozen=True)
class AdultGone:
    """Nobody is left to watch a station: it is closed from the round the plan is in."""

    station: str


@dataclass(frozen=True)
class Merged:
    """A group is given up and its children go to others. into: indices of those; empty = to any."""

    group: int
    into: tuple[int, ...] = ()


@dataclass(frozen=True)
class GoEasy:
    """A child goes easy from now on: it stays with its group and leaves out the hard stations to come."""

    athlete: str


@dataclass(frozen=True)
class Lost:
    """So many seconds are gone: the start was late, or a round was broken off."""

    seconds: int


Change = Left | Late | Closed | AdultGone | Merged | GoEasy | Lost


class Way(StrEnum):
    """What becomes of lost time."""

    SHORTEN = "shorten"  # every round to come equally
    DROP = "drop"  # as few rounds as make up for it
    OVER = "over"  # it ends later


@dataclass(frozen=True)
class Problem:
    """rules: every child of the running groups and every late one, and the coach's rules; its `sizes` do not count.

    groups, turns, rotation, hours: the plan that runs; turns.groups are the names of the groups, by index.
    at_round: the first round that may still be changed, from 1. changes: in any order.
    shut: groups nobody joins, as long as another is open. way: what to do about lost time; None = as suits best.
    least_work_s: a round shortened to less is not worth it. walk_m_s: metres a second.
    uneven: by how many children groups may differ in size before somebody moves for that alone.
    Raises ValueError for changes that speak of what is not there.
    """

    rules: engine_groups.Problem
    groups: engine_groups.Answer
    turns: engine_rotation.Problem
    rotation: engine_rotation.Answer
    hours: engine_timetable.Answer
    at_round: int
    changes: tuple[Change, ...] = ()
    shut: frozenset[int] = frozenset()
    way: Way | None = None
    least_work_s: int = 60
    walk_m_s: float = 1.2
    uneven: int = 2

    def __post_init__(self) -> None:
        known, seats = set(self.rules.ids), self.seat
        if len(self.groups.groups) != len(self.turns.groups) or self.rules.groups != len(self.groups.groups):
            raise ValueError("groups, their names and their rules are not equally many")
        if not 1 <= self.at_round <= self.turns.rounds or len(self.rotation.rounds) != self.turns.rounds:
            raise ValueError(f"there is no round {self.at_round} in this plan")
        if unknown := sorted(set(seats) - self.left - known):
            raise ValueError(f"nothing is known of {', '.join(unknown)}")
        for change in self.changes:
            if complaint := self._complaint(change):
                raise ValueError(complaint)

    def _complaint(self, change: Change) -> str:
        match change:
            case Left(child) | GoEasy(child) if child not in self.seat:
                return f"{self.rules.name(child)} is in no group of this plan"
            case Late(child) if child not in self.rules.ids or child in self.seat:
                return f"{self.rules.name(child)} is in a group already, or nothing is known of this child"
            case Closed(station) | AdultGone(station) if station not in self.turns.station:
                return f"there is no station {station} in this plan"
            case Closed(_, turn) if turn is not None and not self.at_round <= turn <= self.turns.rounds:
                return f"nothing can be closed from round {turn} on: there are {self.at_round} to {self.turns.rounds}"
            case Merged(group, into) if not {group, *into} <= set(range(self.rules.groups)) or group in into:
                return f"group {group + 1} cannot be given up like that"
            case Lost(seconds) if seconds < 1:
                return "lost time is at least a second"
        return ""

    @cached_property
    def seat(self) -> dict[str, int]:
        """The running group of each child."""
        return {child: index for index, group in enumerate(self.groups.groups) for child in group}

    @cached_property
    def left(self) -> frozenset[str]:
        return frozenset(change.athlete for change in self.changes if isinstance(change, Left))

    @cached_property
    def late(self) -> frozenset[str]:
        return frozenset(change.athlete for change in self.changes if isinstance(change, Late))

    @cached_property
    def easy(self) -> frozenset[str]:
        return frozenset(change.athlete for change in self.changes if isinstance(change, GoEasy)) - self.left

    @cached_property
    def merged(self) -> frozenset[int]:
        return frozenset(change.group for change in self.changes if isinstance(change, Merged))

    @cached_property
    def lost_s(self) -> int:
        return sum(change.seconds for change in self.changes if isinstance(change, Lost))

    @cached_property
    def alive(self) -> tuple[int, ...]:
        """Groups that go on: not given up, and somebody of them still here."""
        staying = set(self.seat.values()) if not self.left else {g for c, g in self.seat.items() if c not in self.left}
        return tuple(sorted(staying - self.merged))

    @cached_property
    def locked_up(self) -> tuple[int, ...]:
        """Groups nobody joins; none where no other would be open."""
        shut = self.shut & set(self.alive)
        return tuple(sorted(shut)) if len(shut) < len(self.alive) else ()

    @cached_property
    def here(self) -> engine_groups.Problem:
        """The children who are here now, with their rules."""
        there = (set(self.seat) - self.left) | self.late
        athletes = tuple(athlete for athlete in self.rules.athletes if athlete.id in there)
        held = tuple(lock for lock in self.rules.locks if self.seat.get(lock[0]) not in self.merged)
        return replace(self.rules, athletes=athletes, sizes=None, locks=held)

    @cached_property
    def staying(self) -> dict[str, int]:
        """Children who could stay where they are, and where that is."""
        return {c: g for c, g in self.seat.items() if c not in self.left and g in self.alive}

    @cached_property
    def closed(self) -> frozenset[tuple[str, int]]:
        """Stations shut by what changed, round by round."""
        shut = [(c.station, getattr(c, "from_round", None) or self.at_round)
                for c in self.changes if isinstance(c, Closed | AdultGone)]  # fmt: skip
        return frozenset((s, turn) for s, start in shut for turn in range(start, self.turns.rounds + 1))

    @cached_property
    def sized(self) -> bool:
        """Whether sizes are still the plan's affair: the coach who names where a group goes has decided on them."""
        return not any(isinstance(change, Merged) and change.into for change in self.changes)

    @cached_property
    def unequal(self) -> int:
        """By how much sizes may differ: as they did already, or what is near enough."""
        sizes = [len(self.groups.groups[g]) for g in self.alive]
        return max(self.uneven, max(sizes, default=0) - min(sizes, default=0))

    def targets(self, child: str) -> frozenset[int]:
        """Groups a child may stand in."""
        named = [c.into for c in self.changes if isinstance(c, Merged) and c.group == self.seat.get(child)]
        into = frozenset(named[0]) & frozenset(self.alive) if named else frozenset()
        return into or frozenset(self.alive)


@dataclass(frozen=True)
class Move:
    """was, now: index of the group; was None = was in none. why: the rule, or what else it is for, in words."""

    athlete: str
    was: int | None
    now: int
    why: Reason


@dataclass(frozen=True)
class Owed:
    """A station a child was to be at and will not be: to be made good next week."""

    athlete: str
    station: str


@dataclass(frozen=True)
class Answer:
    """The whole new plan, the past as it was. A group given up stays in its place, empty, and rests.

    moves: children who change groups. placed: late children and where they go. over_s: how much later it ends, below
    0 where time is left over. way: what was done about lost time, None where there was none.
    """

    groups: engine_groups.Answer
    rotation: engine_rotation.Answer
    hours: engine_timetable.Answer
    moves: tuple[Move, ...] = ()
    placed: tuple[Move, ...] = ()
    owed: tuple[Owed, ...] = ()
    way: Way | None = None
    over_s: int = 0


def seats_of(groups: Iterable[Iterable[str]]) -> dict[str, int]:
    """The group of each child."""
    return {child: index for index, group in enumerate(groups) for child in group}
