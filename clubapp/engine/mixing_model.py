"""One round as a constraint model: whether the rules can be kept at all, and if not, which of them clash.

One Boolean for every child and group, and one for every rule: a rule binds only while its Boolean is true.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from clubapp.engine import cpsat
from clubapp.engine.cpsat import Proof, Run
from clubapp.engine.limits import Limit
from clubapp.engine.mixing_problem import Problem
from clubapp.engine.mixing_rules import reasons
from clubapp.engine.outcome import Reason
from clubapp.engine.whynot import smallest_clash

PROBE = Limit(deterministic=4.0)  # whether the rules can be kept
TEST = Limit(deterministic=0.5)  # whether some of them clash; in doubt they do not


class _Model:
    """x[child][g]: the child stands in group g. on[r]: rule r of reasons(problem) binds."""

    def __init__(self, problem: Problem) -> None:
        self.problem, self.model, self.rules = problem, cpsat.new_model(), reasons(problem)
        self.x = {child: [self.model.new_bool_var("") for _ in problem.sizes] for child in problem.ids}
        self.on = [self.model.new_bool_var("") for _ in self.rules]
        for places in self.x.values():
            self.model.add_exactly_one(places)
        for g, size in enumerate(problem.sizes):
            self.model.add(sum(places[g] for places in self.x.values()) == size)
        self._alike()
        self.sorts = self._counts()
        for rule, binds in zip(self.rules, self.on, strict=True):
            self._add(rule, binds)

    def _alike(self) -> None:
        """Groups of one size are alike: they stand in the order of their first children, nearly."""
        if len(set(self.problem.sizes)) == 1:
            for at, places in enumerate(self.x.values()):
                for place in places[at + 1 :]:
                    self.model.add(place == 0)

    def _counts(self) -> list[tuple[frozenset[str], list[Any]]]:
        """Children who are of the same kinds count alike: how many of each sort are in a group. Whether kinds can be
        kept is a question on these few numbers, where the solver would be lost among the children.
        """
        wanted = frozenset(self.problem.not_alone)
        sorts: dict[frozenset[str], list[str]] = {}
        for athlete in self.problem.athletes:
            sorts.setdefault(athlete.kinds & wanted, []).append(athlete.id)
        found = []
        for kinds, children in sorts.items():
            numbers = [self.model.new_int_var(0, size, "") for size in self.problem.sizes]
            self.model.add(sum(numbers) == len(children))
            for g, number in enumerate(numbers):
                self.model.add(sum(self.x[child][g] for child in children) == number)
            found.append((kinds, numbers))
        for g, size in enumerate(self.problem.sizes):
            self.model.add(sum(numbers[g] for _, numbers in found) == size)
        return found

    def _nobody_alone(self, kind: str, binds: Any) -> None:
        for g in range(self.problem.groups):
            number = sum(numbers[g] for kinds, numbers in self.sorts if kind in kinds)
            some = self.model.new_bool_var("")
            self.model.add(number >= 2).only_enforce_if(binds, some)
            self.model.add(number == 0).only_enforce_if(binds, some.negated())

    def _add(self, rule: Reason, binds: Any) -> None:
        if rule.code == "together":
            for one, other in zip(rule.about, rule.about[1:], strict=False):
                for here, there in zip(self.x[one], self.x[other], strict=True):
                    self.model.add(here == there).only_enforce_if(binds)
        elif rule.code == "apart":
            for places in zip(*(self.x[child] for child in rule.about), strict=True):
                self.model.add(sum(places) <= 1).only_enforce_if(binds)
        elif rule.code == "not_alone":
            self._nobody_alone(rule.about[0], binds)
        else:
            self._needs_one_of(rule.about[0], self.problem.near[rule.about[0]], binds)

    def _needs_one_of(self, child: str, others: frozenset[str], binds: Any) -> None:
        for g, here in enumerate(self.x[child]):
            self.model.add_bool_or([binds.negated(), here.negated(), *(self.x[other][g] for other in sorted(others))])

    def seats(self, run: Run) -> NDArray[np.int64]:
        """Children → group."""
        return np.array([next(g for g, here in enumerate(places) if run.true(here)) for places in self.x.values()])


def one_round(problem: Problem, seed: int) -> NDArray[np.int64] | tuple[Reason, ...]:
    """Children → group for any round that keeps the rules, or the smallest set of rules that cannot all be kept.

    Where neither is found in the time allowed: no rules, an empty tuple.
    """
    made = _Model(problem)
    run = cpsat.run(made.model, PROBE, seed, assume=made.on)
    if run.found:
        return made.seats(run)
    if run.proof is Proof.UNKNOWN:
        return ()
    every = range(len(made.rules))
    core = run.core or every
    return tuple(made.rules[at] for at in smallest_clash(core, lambda kept: _clash(problem, kept, seed), every))


def _clash(problem: Problem, kept: frozenset[int], seed: int) -> bool:
    made = _Model(problem)
    for at, binds in enumerate(made.on):
        made.model.add(binds == int(at in kept))
    return cpsat.run(made.model, TEST, seed).proof is Proof.NONE
