"""The rules on groups as a constraint model: whether they can all be kept, and if not, which of them clash.

One Boolean for every child and group, and one for every rule: a rule binds only while its Boolean is true.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any

from clubapp.engine import cpsat
from clubapp.engine.cpsat import Proof, Run
from clubapp.engine.groups_problem import FIRST_TIMER, Answer, Problem
from clubapp.engine.groups_rules import ages, chains, days, reasons, tied_together
from clubapp.engine.limits import Limit
from clubapp.engine.outcome import Reason
from clubapp.engine.whynot import smallest_clash

PROBE = Limit(deterministic=10.0)  # one test whether rules can be kept: no answer is worse than a late one


class Model:
    """x[child][g]: the child stands in group g. on[r]: rule r of reasons(problem) binds."""

    def __init__(self, problem: Problem) -> None:
        self.problem, self.model = problem, cpsat.new_model()
        self.rules = reasons(problem)
        self.x = {child: [self.model.new_bool_var("") for _ in range(problem.groups)] for child in problem.ids}
        self.on = [self.model.new_bool_var("") for _ in self.rules]
        self._everybody_stands_once()
        self._equal_sizes()
        for rule, binds in zip(self.rules, self.on, strict=True):
            self._add(rule, binds)

    def _everybody_stands_once(self) -> None:
        for places in self.x.values():
            self.model.add_exactly_one(places)

    def _equal_sizes(self) -> None:
        """As equal as possible, unless sizes are given and bind."""
        free = [binds.negated() for rule, binds in zip(self.rules, self.on, strict=True) if rule.code == "size"]
        small, over = divmod(len(self.x), self.problem.groups)
        for g in range(self.problem.groups):
            size = sum(places[g] for places in self.x.values())
            self.model.add(size >= small).only_enforce_if(free)
            self.model.add(size <= small + (over > 0)).only_enforce_if(free)

    def _add(self, rule: Reason, binds: Any) -> None:
        kind = {
            "together": self._together,
            "apart": self._apart,
            "not_alone": self._not_alone,
            "guided": self._guided,
            "within_years": self._company_of_age,
            "age_gap": self._age_gap,
            "lock": self._lock,
            "size": self._sizes,
        }
        kind[rule.code](rule, binds)

    def _together(self, rule: Reason, binds: Any) -> None:
        first, *others = rule.about
        for other in others:
            for one, two in zip(self.x[first], self.x[other], strict=True):
                self.model.add_implication(one, two).only_enforce_if(binds)

    def _apart(self, rule: Reason, binds: Any) -> None:
        for g in range(self.problem.groups):
            self.model.add(sum(self.x[child][g] for child in rule.about) <= 1).only_enforce_if(binds)

    def _not_alone(self, rule: Reason, binds: Any) -> None:
        kind = [athlete.id for athlete in self.problem.athletes if rule.about[0] in athlete.kinds]
        for child in kind:
            self._needs_one_of(child, [other for other in kind if other != child], binds)

    def _guided(self, rule: Reason, binds: Any) -> None:
        new = [athlete.id for athlete in self.problem.athletes if FIRST_TIMER in athlete.kinds]
        for child in new:
            self._needs_one_of(child, [other for other in self.problem.ids if other not in new], binds)

    def _company_of_age(self, rule: Reason, binds: Any) -> None:
        born, child = ages(self.problem), rule.about[0]
        far = days(self.problem.within_years or 0)
        near = [other for other in born if other != child and abs(born[other] - born[child]) <= far]
        self._needs_one_of(child, near, binds)

    def _needs_one_of(self, child: str, others: list[str], binds: Any) -> None:
        for g in range(self.problem.groups):
            self.model.add_bool_or([binds.negated(), self.x[child][g].negated(), *(self.x[o][g] for o in others)])

    def _age_gap(self, rule: Reason, binds: Any) -> None:
        born = ages(self.problem)
        far = days(self.problem.largest_age_gap_years or 0)
        for one, two in combinations(born, 2):
            if abs(born[one] - born[two]) > far:
                for g in range(self.problem.groups):
                    self.model.add_bool_or([binds.negated(), self.x[one][g].negated(), self.x[two][g].negated()])

    def _lock(self, rule: Reason, binds: Any) -> None:
        index = int(rule.about[1])
        exists = 0 <= index < self.problem.groups
        self.model.add_implication(binds, self.x[rule.about[0]][index] if exists else binds.negated())

    def _sizes(self, rule: Reason, binds: Any) -> None:
        for g, size in enumerate(rule.about):
            self.model.add(sum(places[g] for places in self.x.values()) == int(size)).only_enforce_if(binds)

    def answer(self, run: Run) -> Answer:
        """The groups of a run that found some."""
        groups = range(self.problem.groups)
        return Answer.of([[child for child, places in self.x.items() if run.true(places[g])] for g in groups])


def keep_rules(problem: Problem, limit: Limit, seed: int) -> Answer | tuple[Reason, ...]:
    """Any groups that keep every rule, or a smallest set of rules that cannot be kept together.

    Where the limit is too short for either: no rules, an empty tuple.
    """
    made = Model(problem)
    patient = replace(limit, deterministic=max(limit.deterministic, PROBE.deterministic))
    run = cpsat.run(made.model, patient, seed, assume=made.on)
    if run.found:
        return made.answer(run)
    if run.proof is Proof.UNKNOWN:
        return ()
    core = run.core or range(len(made.rules))
    return tuple(made.rules[at] for at in smallest_clash(core, lambda kept: _clash(problem, kept, seed)))


def _clash(problem: Problem, kept: frozenset[int], seed: int) -> bool:
    made = Model(problem)
    for at, binds in enumerate(made.on):
        if at not in kept and made.rules[at].code != "size":
            made.model.add(binds == 0)
    for at in kept:
        made.model.add(made.on[at] == 1)
    return cpsat.run(made.model, PROBE, seed).proof is Proof.NONE


def obvious(problem: Problem) -> tuple[Reason, ...]:
    """What needs no solver to see: too few children, a chain too long, sizes that do not add up."""
    here = len(problem.athletes)
    if problem.groups > here:
        text = f"There are {problem.groups} groups and {here} children here."
        return (Reason("groups", text, (), f"Make {here} groups." if here else "Mark who is here first."),)
    if problem.sizes is not None and (sum(problem.sizes) != here or min(problem.sizes) < 1):
        size = next(rule for rule in reasons(problem) if rule.code == "size")
        return (size,)
    largest = max(problem.sizes) if problem.sizes else -(-here // problem.groups)
    return _too_long(problem, largest)


def _too_long(problem: Problem, largest: int) -> tuple[Reason, ...]:
    """The rules of a chain of children to be kept together that fits into no group, one link after another."""
    for chain in chains(problem):
        if len(chain) > largest:
            links = [rule for rule in reasons(problem) if rule.code == "together" and set(rule.about) <= set(chain)]
            return tuple(links[at] for at in smallest_clash(range(len(links)), _TooLong(links, largest)))
    return ()


@dataclass(frozen=True)
class _TooLong:
    """Whether some of the links make a chain that fits into no group."""

    links: list[Reason]
    largest: int

    def __call__(self, kept: frozenset[int]) -> bool:
        tied = tied_together(self.links[at].about for at in sorted(kept))
        return any(len(chain) > self.largest for chain in tied)
