"""What is asked of a relay, and what an answer is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from clubapp.engine.runners import Runner

NOBODY: Mapping[str, int] = MappingProxyType({})


class Kind(StrEnum):
    SHUTTLE = "shuttle"  # to and fro: odd legs start at one end, even legs at the other
    CIRCUIT = "circuit"  # round and round


class Order(StrEnum):
    EVEN_LEGS = "even legs race even legs"  # the k-th quickest of a team meets the k-th quickest of the others
    QUICK_LAST = "the quickest last"
    QUICK_FIRST = "the quickest first"
    LOT = "by lot"


@dataclass(frozen=True)
class Problem:
    """runners: with their likely times over one leg. first_timers are spread over the teams.

    twice_before: how often a child ran twice on earlier days; who did so least runs twice next. once: ids of children
        who never do (go easy). First-timers do only where nobody else can.
    Raises ValueError for fewer children than teams, one of them twice, or unknown ids.
    """

    runners: tuple[Runner, ...]
    teams: int = 2
    kind: Kind = Kind.SHUTTLE
    order: Order = Order.EVEN_LEGS
    apart: tuple[frozenset[str], ...] = ()
    first_timers: frozenset[str] = frozenset()
    once: frozenset[str] = frozenset()
    twice_before: Mapping[str, int] = field(default_factory=lambda: NOBODY)

    def __post_init__(self) -> None:
        ids = {runner.id for runner in self.runners}
        if len(ids) < len(self.runners) or not 2 <= self.teams <= len(ids):
            raise ValueError("a relay needs two teams and a child for each, nobody twice")
        named = self.first_timers | self.once | frozenset().union(*self.apart)
        if named - ids or any(len(pair) != 2 for pair in self.apart):
            raise ValueError("first-timers, who runs once and pairs must be here")

    @property
    def legs(self) -> int:
        """Of every team: as many as the largest has children."""
        return -(-len(self.runners) // self.teams)

    @property
    def short(self) -> int:
        """How many teams have a child less than legs: in each one child runs twice."""
        return self.teams * self.legs - len(self.runners)

    @property
    def by_speed(self) -> tuple[Runner, ...]:
        """The quickest first; ties by id."""
        return tuple(sorted(self.runners, key=lambda one: (one.ms, one.id)))

    @property
    def own(self) -> dict[str, int]:
        """Milliseconds over one leg."""
        return {runner.id: runner.ms for runner in self.runners}


@dataclass(frozen=True)
class Answer:
    """teams: the children of each team leg by leg; who runs twice is there twice."""

    teams: tuple[tuple[str, ...], ...]

    @property
    def twice(self) -> tuple[str, ...]:
        """Who runs twice, by id."""
        return tuple(sorted({child for team in self.teams for child in team if team.count(child) > 1}))


def totals(problem: Problem, answer: Answer) -> list[int]:
    """Likely milliseconds of each team, hand-overs left out."""
    own = problem.own
    return [sum(own[child] for child in team) for team in answer.teams]


def turn(problem: Problem, child: str) -> tuple[bool, int]:
    """Whose turn it is to run twice: the smallest first. First-timers come after all others."""
    return child in problem.first_timers, problem.twice_before.get(child, 0)
