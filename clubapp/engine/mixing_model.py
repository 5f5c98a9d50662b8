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

PROBE = Limit(deterministic=10.0)  # one test whether rules can be kept: no answer is worse than a late one


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
        for rule, binds in zip(self.rules, self.on, strict=True):
            self._add(rule, binds)

    def _add(self, rule: Reason, binds: Any) -> None:
        if rule.code == "together":
            for one, other in zip(rule.about, rule.about[1:], strict=False):
                for here, there in zip(self.x[one], self.x[other], strict=True):
                    self.model.add(here == there).only_enforce_if(binds)
        elif rule.code == "apart":
            for places in zip(*(self.x[child] for child in rule.about), strict=True):
                self.model.add(sum(places) <= 1).only_enforce_if(binds)
        elif rule.code == "not_alone":
            kind = self.problem.of_kind(rule.about[0])
            for child in sorted(kind):
                self._needs_one_of(child, kind - {child}, binds)
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
    return cpsat.run(made.model, PROBE, seed).proof is Proof.NONE
