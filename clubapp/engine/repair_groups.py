"""Who moves: the rules kept, as few children as possible in another group, sizes near to each other, then fairness.

Two questions to the solver, one after the other: how few moves there can be, and of those the fairest groups.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

from clubapp.engine import cpsat, fairness, groups_model
from clubapp.engine import groups as engine_groups
from clubapp.engine.cpsat import Proof
from clubapp.engine.groups import Answer, Mode
from clubapp.engine.groups_model import PROBE
from clubapp.engine.limits import Limit
from clubapp.engine.outcome import Reason
from clubapp.engine.repair_problem import Problem, seats_of
from clubapp.engine.whynot import smallest_clash

SCALE = 10_000_000  # fairness as whole numbers
CLOSE = 1e-5  # what rounding to whole numbers may hide


@dataclass(frozen=True)
class Effort:
    """How much the groups had to change, before fairness is asked: each outweighs those that come after it.

    excess: by how many children sizes differ beyond what is near enough. moved: children in another group.
    uneven: largest less smallest group.
    """

    excess: int
    moved: int
    uneven: int

    def rank(self, children: int) -> int:
        return (self.excess * (children + 1) + self.moved) * (children + 1) + self.uneven


@dataclass(frozen=True)
class Found:
    """bound: no groups score less."""

    answer: Answer
    bound: float
    proven: bool


def effort(problem: Problem, answer: Answer) -> Effort:
    """From plain data, apart from the solver."""
    seat = seats_of(answer.groups)
    sizes = [len(answer.groups[g]) for g in problem.alive]
    apart = max(sizes, default=0) - min(sizes, default=0) if problem.sized else 0
    moved = sum(seat.get(child) != was for child, was in problem.staying.items())
    return Effort(max(0, apart - problem.unequal), moved, apart)


def step(problem: Problem) -> int:
    """What one more of the effort counts beside fairness: more than fairness can ever be."""
    weight = math.fsum(attribute.weight for attribute in problem.here.balance)
    return int(10 ** math.ceil(math.log10(2 + weight * math.sqrt(2 * len(problem.here.ids)))))


def score(problem: Problem, answer: Answer) -> float:
    """Fairness, and far above it what had to change."""
    children = len(problem.here.ids)
    return step(problem) * effort(problem, answer).rank(children) + engine_groups.score(problem.here, answer)


def violations(problem: Problem, answer: Answer) -> list[str]:
    """Rules of the coach that groups break, and who is where nobody may be put."""
    sizes = tuple(len(group) for group in answer.groups)
    found = engine_groups.violations(replace(problem.here, sizes=sizes), answer)
    for child, index in seats_of(answer.groups).items():
        name = problem.here.name(child)
        if index not in problem.targets(child):
            found.append(f"{name} is in a group that is given up, or not in one that was named.")
        elif index in problem.locked_up and problem.seat.get(child) != index:
            found.append(f"{name} is in a locked group.")
    return found


class Model(groups_model.Model):
    """The rules on groups, with the places that are open now, what moves, and how sizes come out."""

    def __init__(self, task: Problem) -> None:
        self.task = task
        super().__init__(task.here)
        self.sums = {g: sum(places[g] for places in self.x.values()) for g in task.alive}
        self._open_places()
        self._locked_groups()
        stays = [self.x[child][was] for child, was in task.staying.items()]
        self.moved = len(stays) - sum(stays)
        self.uneven, self.excess = self._unevenness()
        self.apart = len(self.x)

    def _equal_sizes(self) -> None:
        """Sizes are judged here, not ruled."""

    def _open_places(self) -> None:
        for child, places in self.x.items():
            for g, place in enumerate(places):
                if g not in self.task.targets(child):
                    self.model.add(place == 0)

    def _locked_groups(self) -> None:
        for g in self.task.locked_up:
            name = self.task.turns.groups[g]
            binds = self.model.new_bool_var("")
            self.rules = (
                *self.rules,
                Reason("shut", f"{name} is locked: nobody joins it.", (str(g),), f"Unlock {name}."),
            )
            self.on.append(binds)
            for child in self.x:
                if self.task.seat.get(child) != g:
                    self.model.add_implication(binds, self.x[child][g].negated())

    def _unevenness(self) -> tuple[Any, Any]:
        count = len(self.x)
        largest, smallest, excess = (self.model.new_int_var(0, count, "") for _ in range(3))
        for size in self.sums.values() if self.task.sized else ():
            self.model.add(size <= largest)
            self.model.add(size >= smallest)
        self.model.add(excess >= largest - smallest - self.task.unequal)
        self.model.add(largest >= smallest)
        return largest - smallest, excess

    def without(self, answer: Answer) -> None:
        """Any groups but these."""
        seat = seats_of(answer.groups)
        self.model.add(sum(self.x[child][g] for child, g in seat.items()) <= len(seat) - 1)

    def begin(self, known: Answer) -> None:
        """A start for the search: children who are here where they were."""
        seat = seats_of(known.groups)
        pairs = [(place, int(seat[child] == g)) for child, places in self.x.items() if child in seat
                 for g, place in enumerate(places)]  # fmt: skip
        cpsat.hint(self.model, pairs)

    def least_effort(self) -> None:
        most = len(self.x) + 1
        self.model.minimize((self.excess * most + self.moved) * most + self.uneven)

    def held(self, now: Effort) -> None:
        """From now on not more effort than this."""
        self.apart = now.uneven
        self.model.add(self.excess <= now.excess)
        self.model.add(self.moved <= now.moved)
        self.model.add(self.uneven <= now.uneven)

    def fairest(self) -> None:
        """The fairness score in whole numbers; of bands, how far children stand from the mean of their group."""
        here = self.task.here
        if here.mode is Mode.LIKE:
            self.model.minimize(self._strangeness())
            return
        spreads = []
        several = self._size_is()
        for attribute in here.balance:
            values = fairness.filled(here.athletes, here.on, attribute.name).values
            sd, middle = fairness.deviation(values), fairness.mean(values)
            if sd and attribute.weight:
                scaled = [round(SCALE * attribute.weight * (value - middle) / sd) for value in values]
                spreads.append(self._spread(dict(zip(here.ids, scaled, strict=True)), several))
        self.model.minimize(sum(spreads))

    def _size_is(self) -> dict[tuple[int, int], Any]:
        """For each group and size whether the group has it."""
        found: dict[tuple[int, int], Any] = {}
        for g, size in self.sums.items():
            row = {count: self.model.new_bool_var("") for count in self._can_have()}
            self.model.add_exactly_one(row.values())
            self.model.add(size == sum(count * is_it for count, is_it in row.items()))
            found |= {(g, count): is_it for count, is_it in row.items() if count}
        return found

    def _can_have(self) -> range:
        """The sizes a group can have: the smallest is not above the mean, the largest not below it."""
        count, groups = len(self.x), len(self.sums)
        if not self.task.sized:
            return range(count + 1)
        return range(max(0, -(-count // groups) - self.apart), min(count, count // groups + self.apart) + 1)

    def _spread(self, values: dict[str, int], several: dict[tuple[int, int], Any]) -> Any:
        """Largest less smallest group mean."""
        far = max(map(abs, values.values()))
        top, bottom = (self.model.new_int_var(-far, far, "") for _ in range(2))
        self.model.add(top >= bottom)
        whole = {g: sum(values[child] * places[g] for child, places in self.x.items()) for g in self.sums}
        for (g, count), is_it in several.items():
            self.model.add(count * top >= whole[g]).only_enforce_if(is_it)
            self.model.add(count * bottom <= whole[g]).only_enforce_if(is_it)
        return top - bottom

    def _strangeness(self) -> Any:
        able = dict(
            zip(
                self.x,
                fairness.ability(self.task.here.athletes, self.task.here.on, self.task.here.balance),
                strict=True,
            )
        )
        means = {g: fairness.mean([able[c] for c, was in self.task.staying.items() if was == g]) for g in self.sums}
        return sum(
            round(SCALE * abs(able[child] - means[g])) * places[g] for child, places in self.x.items() for g in means
        )


@dataclass(frozen=True)
class Hunt:
    """What is looked for, and what is known: groups to begin from, and groups that will not do."""

    problem: Problem
    limit: Limit
    seed: int
    known: Answer
    barred: tuple[Answer, ...] = ()

    def model(self) -> Model:
        """Every rule binds."""
        made = Model(self.problem)
        for binds in made.on:
            made.model.add(binds == 1)
        for answer in self.barred:
            made.without(answer)
        return made


def best(hunt: Hunt) -> Found | tuple[Reason, ...]:
    """The groups with the least score that keep the rules, other than those that are barred; else the rules that clash.

    No rules at all: nothing was found in the time given, or nothing but what is barred.
    """
    made = hunt.model()
    made.least_effort()
    made.begin(hunt.known)
    patient = replace(hunt.limit, deterministic=max(hunt.limit.deterministic, PROBE.deterministic))
    first = cpsat.run(made.model, patient, hunt.seed)
    if not first.found:
        return _clash(hunt) if first.proof is Proof.NONE and not hunt.barred else ()
    fair = _fairest(replace(hunt, known=made.answer(first)))
    floor = step(hunt.problem) * first.bound
    if fair.proven and first.proof is Proof.BEST:
        return Found(fair.answer, score(hunt.problem, fair.answer), proven=True)
    return Found(fair.answer, floor + (fair.bound if first.proof is Proof.BEST else 0.0), proven=False)


def _fairest(hunt: Hunt) -> Found:
    """The fairest groups with no more effort than those known; bound is on fairness alone."""
    made, known = hunt.model(), hunt.known
    made.held(effort(hunt.problem, known))
    made.fairest()
    made.begin(known)
    run = cpsat.run(made.model, hunt.limit, hunt.seed)
    if not run.found:
        return Found(known, 0.0, proven=False)
    better = min([made.answer(run), known], key=lambda answer: engine_groups.score(hunt.problem.here, answer))
    even = hunt.problem.here.mode is Mode.EVEN
    bound = max(0.0, run.bound / SCALE - CLOSE) if even else 0.0
    return Found(better, bound, proven=even and run.proof is Proof.BEST)


def _clash(hunt: Hunt) -> tuple[Reason, ...]:
    """The smallest set of rules that cannot be kept together."""
    made = Model(hunt.problem)
    run = cpsat.run(made.model, PROBE, hunt.seed, assume=made.on)
    core = run.core or range(len(made.rules))
    return tuple(made.rules[at] for at in smallest_clash(core, lambda kept: _clashes(hunt, kept)))


def _clashes(hunt: Hunt, kept: frozenset[int]) -> bool:
    made = Model(hunt.problem)
    for at, binds in enumerate(made.on):
        made.model.add(binds == int(at in kept))
    return cpsat.run(made.model, PROBE, hunt.seed).proof is Proof.NONE
