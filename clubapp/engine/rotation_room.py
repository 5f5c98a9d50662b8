"""How many groups the stations can take: the arithmetic behind who must rest and what cannot be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from clubapp.engine.rotation_problem import Problem
from clubapp.engine.words import Station

# Groups placed, stations running (counted only where adults stay at them), kit of each limited kind in use.
Use = tuple[int, int, tuple[int, ...]]


@dataclass(frozen=True)
class Room:
    """How many must rest. short: groups more than places, for each round to come. extra: rests on top of these,
    in any round, because the stations have too few places over the whole time.
    too_many_rounds: a group would have been everywhere before the end.
    """

    short: tuple[int, ...]
    extra: int
    too_many_rounds: bool

    @property
    def rests(self) -> int:
        return sum(self.short) + self.extra


def room_of(problem: Problem) -> Room:
    """Short of room is only who finds all open stations full. Too little kit, too few adults or games that need
    more groups are rules that clash, and too many rounds are nothing to rest for either.
    """
    count = len(problem.groups)
    short = tuple(max(0, count - _capacity(problem, turn)) for turn in problem.future)
    new = {group: len(problem.stations) - len(set(problem.past(group)) - {None}) for group in problem.groups}
    worked = count * len(short) - sum(short)
    demand = sum(min(len(short), left) for left in new.values())
    supply = sum(_turns(problem, station) for station in problem.stations)
    return Room(short, max(0, worked - supply) if worked <= demand else 0, worked > demand)


def _capacity(problem: Problem, turn: int) -> int:
    return sum(station.groups_max for station in open_stations(problem, turn))


def _turns(problem: Problem, station: Station) -> int:
    """Turns a station can give: to each group that has not been there one."""
    new = sum(station.id not in problem.past(group) for group in problem.groups)
    places = sum(station.groups_max for turn in problem.future if problem.is_open(station.id, turn))
    return min(new, places)


def open_stations(problem: Problem, turn: int) -> list[Station]:
    return [station for station in problem.stations if problem.is_open(station.id, turn)]


def totals(problem: Problem, turn: int) -> frozenset[int]:
    """Numbers of groups that can work at once in a round with the kit and the adults there are."""
    reached: set[Use] = {(0, 0, tuple(0 for _ in problem.kit_owned))}
    for station in open_stations(problem, turn):
        reached |= {more for use in reached for more in _with(problem, use, station)}
    return frozenset(groups for groups, _, _ in reached)


def _with(problem: Problem, use: Use, station: Station) -> Iterator[Use]:
    """The same with a station running besides, if there is kit, an adult and anybody left for it."""
    groups, running, kit = use
    adults = int(problem.staffed is not None)
    more = tuple(used + station.kit.get(kind, 0) for used, kind in zip(kit, problem.kit_owned, strict=True))
    short = any(used > owned for used, owned in zip(more, problem.kit_owned.values(), strict=True))
    if short or (adults and running == problem.staffed):
        return
    for count in range(max(1, station.groups_min), min(station.groups_max, len(problem.groups) - groups) + 1):
        yield groups + count, running + adults, more
