"""Fair groups: what is asked and what is answered. The public face is clubapp.engine.groups."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from types import MappingProxyType

from clubapp.engine import fairness
from clubapp.engine.fairness import Attribute
from clubapp.engine.words import Athlete

BALANCE = (Attribute("speed_s"), Attribute(fairness.AGE), Attribute("skill"))
FIRST_TIMER = "first_timer:yes"


class Mode(StrEnum):
    EVEN = "even"  # every group as able as the next
    LIKE = "like"  # like with like: bands of similar ability


@dataclass(frozen=True)
class Problem:
    """Children to be cut into groups on a date, and the coach's rules.

    athletes: the children present. groups: how many, 1 up. sizes: children in each group by index; None: as equal as
    possible, the larger groups at any index. Ids in rules that are not among the athletes are not here and are ignored.
    together, apart: sets of ids. not_alone: kinds of which no group may hold exactly one. within_years: every child
    whose birth date is known has another within so many years in the group, `excused` ids aside.
    largest_age_gap_years: between oldest and youngest of a group. guided: a first-timer's group holds somebody who is
    none. locks: (id, group index). met: what it costs to put a pair together again. names: for sentences; else ids.
    """

    athletes: tuple[Athlete, ...]
    on: date
    groups: int
    sizes: tuple[int, ...] | None = None
    balance: tuple[Attribute, ...] = BALANCE
    together: tuple[frozenset[str], ...] = ()
    apart: tuple[frozenset[str], ...] = ()
    not_alone: tuple[str, ...] = ()
    within_years: float | None = None
    largest_age_gap_years: float | None = None
    guided: bool = False
    locks: tuple[tuple[str, int], ...] = ()
    mode: Mode = Mode.EVEN
    met: Mapping[frozenset[str] | tuple[str, str], float] = field(default_factory=lambda: MappingProxyType({}))
    excused: frozenset[str] = frozenset()
    names: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self) -> None:
        ids = [athlete.id for athlete in self.athletes]
        if len(set(ids)) != len(ids):
            raise ValueError("two children have the same id")
        if self.groups < 1:
            raise ValueError(f"there must be at least one group, not {self.groups}")
        if self.sizes is not None and len(self.sizes) != self.groups:
            raise ValueError(f"{len(self.sizes)} sizes are given for {self.groups} groups")

    @property
    def ids(self) -> tuple[str, ...]:
        return tuple(athlete.id for athlete in self.athletes)

    def name(self, child: str) -> str:
        """What a sentence calls a child."""
        return self.names.get(child, child)


@dataclass(frozen=True)
class Answer:
    """groups: athlete ids, sorted inside each; the index is the group's number."""

    groups: tuple[tuple[str, ...], ...]

    @classmethod
    def of(cls, groups: Collection[Collection[str]]) -> Answer:
        return cls(tuple(tuple(sorted(group)) for group in groups))


def score(problem: Problem, answer: Answer) -> float:
    """EVEN: the fairness score. LIKE: the deviation left inside the groups as a share of the whole. 0 is perfect."""
    if problem.mode is Mode.EVEN:
        return fairness.report(problem.athletes, problem.on, problem.balance, answer.groups).score
    able = dict(zip(problem.ids, fairness.ability(problem.athletes, problem.on, problem.balance), strict=True))
    whole = fairness.deviation(tuple(able.values()))
    if not whole:
        return 0.0
    left: list[float] = []
    for group in answer.groups:
        middle = fairness.mean([able[child] for child in group])
        left += [(able[child] - middle) ** 2 for child in group]
    return math.sqrt(fairness.mean(left)) / whole


def company(problem: Problem, answer: Answer) -> float:
    """What the pairs cost that were together before; less is better, among equally fair groups."""
    seat = {child: index for index, group in enumerate(answer.groups) for child in group}
    costs = [cost for pair, cost in problem.met.items() if len({seat.get(child, child) for child in pair}) == 1]
    return math.fsum(costs)
