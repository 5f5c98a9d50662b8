"""What a search for rounds stands on: values, sizes and rules as arrays, and what rounds cost by them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from clubapp.engine import fairness
from clubapp.engine.mixing_problem import REPEAT, Answer, Problem

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

RULE = 100_000.0  # what a broken rule counts: more than all repeats together


@dataclass(frozen=True)
class Ground:
    """values: children × attributes, scaled so that a difference of group means is its part of the score. size: of
    each group. rule: what a meeting of two counts by the rules. kinds: children × kinds nobody may be alone of. near:
    children × children, who is company of age; needs: who must have some. tied: children who must be together.
    """

    values: Floats
    size: Floats
    rule: Floats
    repeat: float
    kinds: Floats
    near: Bools
    needs: Bools
    tied: tuple[Ints, ...] = ()

    @cached_property
    def slow(self) -> int:
        """How many times as much work a step is: ages cannot be reckoned from what was."""
        return 3 if self.needs.any() else 1

    def inside(self, seats: Ints) -> Floats:
        """… × children → … × groups × children: 1 where a child stands in a group."""
        found: Floats = (seats[..., None, :] == np.arange(len(self.size))[:, None]).astype(float)
        return found

    def fairness(self, seats: Ints) -> Floats:
        """… × children → the fairness of those rounds: means by each group's own size."""
        inside = self.inside(seats)
        means = inside @ self.values / inside.sum(axis=-1)[..., None]
        spread: Floats = (means.max(axis=-2) - means.min(axis=-2)).sum(axis=-1)
        return spread

    def met(self, seats: Ints) -> Floats:
        """Chains × rounds × children → chains × children × children: how often two were together."""
        same: Floats = (seats[..., :, None] == seats[..., None, :]).sum(axis=-3).astype(float)
        same[..., np.arange(seats.shape[-1]), np.arange(seats.shape[-1])] = 0.0
        return same

    def company(self, met: Floats) -> Floats:
        """What all meetings of a chain count: repeats and rules on pairs."""
        again = np.maximum(met - 1, 0) * self.repeat + met * self.rule
        total: Floats = again.sum(axis=(-2, -1)) / 2
        return total

    def lonely(self, seats: Ints) -> Floats:
        """… × children → in how many places of those rounds a child lacks company by the rules on kinds and age."""
        alone: Floats = (self.inside(seats) @ self.kinds == 1).sum(axis=(-2, -1)).astype(float)
        return alone + self.strangers(seats) if self.needs.any() else alone

    def strangers(self, seats: Ints) -> Floats:
        """… × children → how many have nobody near in age in the group."""
        same = seats[..., :, None] == seats[..., None, :]
        found: Floats = (self.needs & ~(same & self.near).any(axis=-1)).sum(axis=-1).astype(float)
        return found


def ground_of(problem: Problem) -> Ground:
    count = len(problem.ids)
    columns = []
    for attribute in problem.balance:
        values = fairness.filled(problem.athletes, problem.on, attribute.name).values
        sd = fairness.deviation(values)
        columns.append(np.array(values) * (attribute.weight / sd if sd else 0.0))
    kinds = [np.array([child in problem.of_kind(kind) for child in problem.ids], float) for kind in problem.not_alone]
    close = problem.near
    return Ground(
        values=np.stack(columns, axis=1) if columns else np.zeros((count, 1)),
        size=np.array(problem.sizes, dtype=float),
        rule=_pairs(problem),
        repeat=REPEAT[problem.aim],
        kinds=np.stack(kinds, axis=1) if kinds else np.zeros((count, 0)),
        near=np.array([[other in close.get(child, ()) for other in problem.ids] for child in problem.ids]),
        needs=np.array([child in close for child in problem.ids]),
        tied=tuple(np.flatnonzero([child in chain for child in problem.ids]) for chain in problem.chains),
    )


def _pairs(problem: Problem) -> Floats:
    """What a meeting of two counts by the rules."""
    children = {child: at for at, child in enumerate(problem.ids)}
    rule = np.zeros((len(children), len(children)))
    for pairs, count in ((problem.held, -RULE), (problem.pairs(problem.apart), RULE)):
        for one, other in pairs:
            a, b = children[one], children[other]
            rule[a, b] = rule[b, a] = rule[a, b] + count
    return rule


def answer_of(problem: Problem, seats: Ints) -> Answer:
    """Rounds × children → group, as groups of ids."""
    ids = problem.ids
    return Answer(
        tuple(
            tuple(tuple(sorted(ids[at] for at in np.flatnonzero(turn == group))) for group in range(problem.groups))
            for turn in seats
        )
    )
