"""New groups every round, so that children meet as many others as they can: what is asked and what is answered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from functools import cached_property
from itertools import combinations
from types import MappingProxyType

from clubapp.engine import fairness
from clubapp.engine.fairness import Attribute
from clubapp.engine.words import DAYS_IN_A_YEAR, Athlete

BALANCE = (Attribute("speed_s"), Attribute(fairness.AGE), Attribute("skill"))
Groups = tuple[tuple[str, ...], ...]


class Aim(StrEnum):
    MIX = "mix"  # nobody meets twice, and then rounds as fair as they can be
    FAIR = "fair"  # every round as fair as can be, and then few meetings twice


# What one meeting repeated counts beside the fairness of the worst round.
REPEAT: Mapping[Aim, float] = MappingProxyType({Aim.MIX: 1000.0, Aim.FAIR: 0.0001})


@dataclass(frozen=True)
class Problem:
    """athletes: the children present, on a date. groups, rounds: how many; groups are as equal in size as possible.

    together, apart: sets of ids; ids that are not among the athletes are ignored. not_alone: kinds of which no group
    may hold exactly one. within_years: every child whose birth date is known has another within so many years in the
    group, `excused` ids aside.
    aim: what comes first. names: for sentences; else ids. Raises ValueError for figures out of range.
    """

    athletes: tuple[Athlete, ...]
    on: date
    groups: int
    rounds: int
    balance: tuple[Attribute, ...] = BALANCE
    together: tuple[frozenset[str], ...] = ()
    apart: tuple[frozenset[str], ...] = ()
    not_alone: tuple[str, ...] = ()
    within_years: float | None = None
    excused: frozenset[str] = frozenset()
    aim: Aim = Aim.MIX
    names: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self) -> None:
        if len(set(self.ids)) < len(self.athletes):
            raise ValueError("two children have the same id")
        if not 1 <= self.groups <= len(self.athletes) or self.rounds < 1:
            raise ValueError("there must be a round, a group, and a child for every group")

    @property
    def ids(self) -> tuple[str, ...]:
        return tuple(athlete.id for athlete in self.athletes)

    @property
    def sizes(self) -> tuple[int, ...]:
        """Children in each group, the larger groups first."""
        each, over = divmod(len(self.athletes), self.groups)
        return tuple(each + (at < over) for at in range(self.groups))

    def pairs(self, rules: tuple[frozenset[str], ...]) -> frozenset[tuple[str, str]]:
        """The pairs of children present that share one of the rules, each in order."""
        here = set(self.ids)
        return frozenset(pair for rule in rules for pair in combinations(sorted(rule & here), 2))

    def of_kind(self, kind: str) -> frozenset[str]:
        return frozenset(athlete.id for athlete in self.athletes if kind in athlete.kinds)

    @cached_property
    def near(self) -> Mapping[str, frozenset[str]]:
        """For each child who needs company of age: who is near enough. Empty where there is no such rule."""
        if self.within_years is None:
            return {}
        days = {athlete.id: athlete.born.toordinal() for athlete in self.athletes if athlete.born is not None}
        far = int(self.within_years * DAYS_IN_A_YEAR)
        return {
            child: frozenset(other for other in days if other != child and abs(days[other] - days[child]) <= far)
            for child in days
            if child not in self.excused
        }

    @cached_property
    def chains(self) -> tuple[frozenset[str], ...]:
        """Children present who must be together in every round: by one rule, by several that share a child, because
        there are only two or three of a kind, or because nobody else is near in age.
        """
        here, tied = set(self.ids), list[frozenset[str]]()
        few = [kind for kind in map(self.of_kind, self.not_alone) if 1 < len(kind) < 4]
        pairs = [near | {child} for child, near in self.near.items() if len(near) == 1]
        for rule in (*self.together, *few, *pairs):
            link = rule & here
            touching = [chain for chain in tied if chain & link]
            tied = [*(chain for chain in tied if not chain & link), link.union(*touching)]
        return tuple(chain for chain in tied if len(chain) > 1)

    @cached_property
    def held(self) -> frozenset[tuple[str, str]]:
        """The pairs who are together in every round."""
        return self.pairs(self.chains)

    def name(self, child: str) -> str:
        return self.names.get(child, child)


@dataclass(frozen=True)
class Answer:
    """rounds[r - 1]: the groups of a round, ids sorted inside each."""

    rounds: tuple[Groups, ...]


@dataclass(frozen=True)
class Met:
    """repeats: meetings after the first, of children who need not be together; held: of those who must. least, most:
    how many others a child has met. fairness: the score of each round.
    """

    repeats: int
    held: int
    least: int
    most: int
    fairness: tuple[float, ...]


def meetings(answer: Answer) -> Counter[tuple[str, str]]:
    return Counter(pair for groups in answer.rounds for group in groups for pair in combinations(sorted(group), 2))


def report(problem: Problem, answer: Answer) -> Met:
    met, held = meetings(answer), problem.held
    others = Counter(child for pair in met for child in pair)
    scores = [fairness.report(problem.athletes, problem.on, problem.balance, groups).score for groups in answer.rounds]
    return Met(
        repeats=sum(times - 1 for pair, times in met.items() if pair not in held),
        held=sum(times - 1 for pair, times in met.items() if pair in held),
        least=min(others[child] for child in problem.ids),
        most=max(others[child] for child in problem.ids),
        fairness=tuple(scores),
    )


def score(problem: Problem, answer: Answer) -> float:
    """The fairness of the least fair round, and what the meetings repeated count by the aim; 0 is perfect.

    Those who must be together count as well, so that no rule is a gain.
    """
    found = report(problem, answer)
    return max(found.fairness) + REPEAT[problem.aim] * (found.repeats + found.held)
