"""New groups every round, so that children meet as many others as they can: what is asked and what is answered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from itertools import combinations
from types import MappingProxyType

from clubapp.engine import fairness
from clubapp.engine.fairness import Attribute
from clubapp.engine.words import Athlete

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

    together, apart: sets of ids; who stays together does not count as a meeting repeated. aim: what comes first.
    names: for sentences; else ids. Raises ValueError for figures out of range.
    """

    athletes: tuple[Athlete, ...]
    on: date
    groups: int
    rounds: int
    balance: tuple[Attribute, ...] = BALANCE
    together: tuple[frozenset[str], ...] = ()
    apart: tuple[frozenset[str], ...] = ()
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

    def name(self, child: str) -> str:
        return self.names.get(child, child)


@dataclass(frozen=True)
class Answer:
    """rounds[r - 1]: the groups of a round, ids sorted inside each."""

    rounds: tuple[Groups, ...]


@dataclass(frozen=True)
class Met:
    """repeats: meetings after the first, of children who need not be together. least, most: how many others a child
    has met. fairness: the score of each round.
    """

    repeats: int
    least: int
    most: int
    fairness: tuple[float, ...]


def meetings(answer: Answer) -> Counter[tuple[str, str]]:
    return Counter(pair for groups in answer.rounds for group in groups for pair in combinations(sorted(group), 2))


def report(problem: Problem, answer: Answer) -> Met:
    met, held = meetings(answer), problem.pairs(problem.together)
    others = Counter(child for pair in met for child in pair)
    scores = [fairness.report(problem.athletes, problem.on, problem.balance, groups).score for groups in answer.rounds]
    return Met(
        repeats=sum(times - 1 for pair, times in met.items() if pair not in held),
        least=min(others[child] for child in problem.ids),
        most=max(others[child] for child in problem.ids),
        fairness=tuple(scores),
    )


def score(problem: Problem, answer: Answer) -> float:
    """The fairness of the least fair round, and what the meetings repeated count by the aim; 0 is perfect."""
    found = report(problem, answer)
    return max(found.fairness) + REPEAT[problem.aim] * found.repeats


def least_repeats(problem: Problem) -> int:
    """Meetings that must be repeated: there are only so many pairs, and with more children in a group than there are
    groups some of them meet again in every round that follows (pigeon-hole, for each two rounds).
    """
    children, held = len(problem.athletes), len(problem.pairs(problem.together))
    a_round = sum(size * (size - 1) // 2 for size in problem.sizes) - held
    free = children * (children - 1) // 2 - held - len(problem.pairs(problem.apart))
    crowded = 0 if problem.together else sum(_crowded(size, problem.groups) for size in problem.sizes)
    return max(0, problem.rounds * a_round - free, (problem.rounds - 1) * crowded)


def _crowded(size: int, groups: int) -> int:
    """Pairs that must fall into one group again when `size` children are dealt to so many groups."""
    each, over = divmod(size, groups)
    return over * (each + 1) * each // 2 + (groups - over) * each * (each - 1) // 2


def violations(problem: Problem, answer: Answer) -> list[str]:
    """What the rounds break, in words; empty when they keep everything."""
    found = [] if len(answer.rounds) == problem.rounds else [f"There are to be {problem.rounds} rounds."]
    for turn, groups in enumerate(answer.rounds, start=1):
        if sorted(child for group in groups for child in group) != sorted(problem.ids):
            found.append(f"In round {turn} not every child is in one group.")
        if sorted(map(len, groups)) != sorted(problem.sizes):
            found.append(f"In round {turn} the groups are not as equal in size as possible.")
        together = {pair for group in groups for pair in combinations(sorted(group), 2)}
        for one, other in sorted(problem.pairs(problem.together) - together):
            found.append(
                f"{problem.name(one)} and {problem.name(other)} are to stay together; round {turn} parts them."
            )
        for one, other in sorted(problem.pairs(problem.apart) & together):
            found.append(f"{problem.name(one)} and {problem.name(other)} are to be kept apart; round {turn} does not.")
    return found
