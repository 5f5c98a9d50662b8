"""What is asked of a rotation, and what an answer looks like."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType

from clubapp.engine.words import Station

Turn = tuple[tuple[str, str | None], ...]


@dataclass(frozen=True)
class Problem:
    """Groups that go round stations.

    groups: names, each once. rounds: from 1. max_hard_run: at most so many hard stations one after the other; a rest
        or an easy station ends the run. None = no such rule.
    kit_owned: how much of a kind of kit there is for one round; kinds that are not named are never short.
    staffed: with adults who stay at stations, the most stations that can run at once; None = adults go with groups.
    closed: (station id, round from 1) in which nobody can be there.
    balanced_succession: each station is followed by each other as evenly as can be (Williams 1949).
    meet_once: groups that share a station in one round do not share one again, where it can be avoided.
    least_walking: whether walking counts at all.
    may_rest: groups may rest even where there is room for them. Otherwise only where there is not.
    fixed: the rounds already over, oldest first, as in Answer.rounds; they are not judged.
    names: what sentences call groups and stations; else their ids.
    Raises ValueError for ids that are not unique, unknown stations and figures out of range.
    """

    groups: tuple[str, ...]
    stations: tuple[Station, ...]
    rounds: int
    max_hard_run: int | None = None
    kit_owned: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    staffed: int | None = None
    closed: frozenset[tuple[str, int]] = frozenset()
    balanced_succession: bool = False
    meet_once: bool = True
    least_walking: bool = True
    may_rest: bool = False
    fixed: tuple[Turn, ...] = ()
    names: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self) -> None:
        ids = [station.id for station in self.stations]
        if len(set(ids)) < len(ids) or len(set(self.groups)) < len(self.groups):
            raise ValueError("two groups or two stations have the same name")
        if not self.groups or not ids or self.rounds < 1 or len(self.fixed) > self.rounds:
            raise ValueError("a rotation needs at least one group, one station and one round")
        if min(self.max_hard_run or 0, self.staffed or 0, *self.kit_owned.values(), 0) < 0:
            raise ValueError("a run of hard stations, adults and kit are numbers from 0 up")
        if any(not 0 <= s.groups_min <= s.groups_max or s.groups_max < 1 for s in self.stations):
            raise ValueError("a station takes at least one group, and not fewer at most than at least")
        known = {None, *ids}
        if any(dict(turn).keys() != set(self.groups) or not known >= set(dict(turn).values()) for turn in self.fixed):
            raise ValueError("a round that is over names a group or a station that is not there")

    @cached_property
    def station(self) -> Mapping[str, Station]:
        """Stations by id."""
        return {station.id: station for station in self.stations}

    @cached_property
    def walks(self) -> Mapping[tuple[str, str], int]:
        """Straight lines between stations in whole millimetres; 0 where a place is not known."""
        return {(a.id, b.id): _millimetres(a, b) for a in self.stations for b in self.stations}

    @cached_property
    def distance_counts(self) -> bool:
        return self.least_walking and any(self.walks.values())

    @cached_property
    def future(self) -> range:
        """The rounds still to be planned, from 1."""
        return range(len(self.fixed) + 1, self.rounds + 1)

    def is_open(self, station: str, turn: int) -> bool:
        return (station, turn) not in self.closed

    def name(self, thing: str) -> str:
        """What a sentence calls a group or a station."""
        return self.names.get(thing, thing)

    def past(self, group: str) -> tuple[str | None, ...]:
        """Where a group was in the rounds that are over."""
        return tuple(dict(turn)[group] for turn in self.fixed)


@dataclass(frozen=True)
class Answer:
    """rounds[r - 1]: each group, in the problem's order, with its station's id, or None where it rests."""

    rounds: tuple[Turn, ...]

    def station_of(self, group: str, turn: int) -> str | None:
        return dict(self.rounds[turn - 1])[group]

    def groups_at(self, station: str, turn: int) -> tuple[str, ...]:
        return tuple(group for group, where in self.rounds[turn - 1] if where == station)

    def resting(self, turn: int) -> tuple[str, ...]:
        return tuple(group for group, where in self.rounds[turn - 1] if where is None)

    def path(self, group: str) -> tuple[str | None, ...]:
        """Where a group is, round by round."""
        return tuple(dict(turn)[group] for turn in self.rounds)


def answer_of(problem: Problem, paths: Mapping[str, list[str | None]]) -> Answer:
    """The answer in which each group goes its path."""
    return Answer(
        tuple(tuple((group, paths[group][turn]) for group in problem.groups) for turn in range(problem.rounds))
    )


def _millimetres(a: Station, b: Station) -> int:
    if a.x_m is None or a.y_m is None or b.x_m is None or b.y_m is None:
        return 0
    return round(1000 * math.dist((a.x_m, a.y_m), (b.x_m, b.y_m)))
