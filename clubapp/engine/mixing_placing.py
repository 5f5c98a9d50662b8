"""Who takes which number of a table: it stays who meets whom, and rounds become as fair as they can.

Annealing, many chains at once in numpy. All chains exchange the same two numbers in a step, so that what changes is a
product with figures that stay; now and then the worst chains go on from where the best are (go with the winners,
Aldous and Vazirani 1994). Steps are counted, never timed, so that a seed repeats.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from clubapp.engine.mixing_ground import RULE, Floats, Ground, Ints

Small = NDArray[np.float32]

CHAINS, FEWER = 128, 32  # fewer where ages are asked for, which is slow to say
MEAN = 1.6  # how much the mean of the rounds counts beside the worst, which alone is hard to move
HOT, COLD, COOLED = 0.025, 0.0075, 0.00025  # as shares of what the worst round is by lot
RESTS = 20  # how often in a search the worst quarter goes on from the best


@dataclass
class _Chains:
    """rows: attributes and kinds. value: rows × numbers × chains. total: groups × rows × rounds × chains, means of
    attributes and counts of kinds. order: numbers × chains → child; number: children × chains, its inverse.
    """

    ground: Ground
    table: Ints
    weight: Small  # groups × rows × rounds × numbers
    order: Ints
    number: Ints
    value: Small
    total: Small
    cost: Floats
    worst: Floats

    @cached_property
    def apart(self) -> tuple[Ints, Ints]:
        """The children who may not meet, pair by pair."""
        one, other = np.nonzero(np.triu(self.ground.rule))
        return one, other

    @cached_property
    def ages_count(self) -> bool:
        return bool(self.ground.needs.any())

    def judged(self, total: Small, number: Ints) -> tuple[Floats, Floats]:
        """What chains count, smoothed for the search and exactly; rules included in both."""
        attributes = self.ground.values.shape[1]
        means = total[:, :attributes]
        fair = (means.max(axis=0) - means.min(axis=0)).sum(axis=0).astype(float)
        broken = RULE * self._broken(total[:, attributes:], number)
        worst: Floats = fair.max(axis=0) + broken
        cost: Floats = worst + MEAN * fair.mean(axis=0)
        return cost, worst

    def _broken(self, counts: Small, number: Ints) -> Floats | float:
        """How many rules are broken in each chain."""
        ground, found = self.ground, 0.0
        if counts.shape[1]:
            found = found + (counts == 1).sum(axis=(0, 1, 2))
        one, other = self.apart
        if len(one):
            met = self.table[:, number[one]] == self.table[:, number[other]]
            found = found + met.sum(axis=(0, 1))
        if self.ages_count:
            found = found + ground.strangers(np.moveaxis(self.table[:, number], -1, 0)).sum(axis=-1)
        return found

    def exchange(self, one: int, other: int, daring: Floats) -> None:
        """Whoever has the one number takes the other, in the chains where that is not too much worse."""
        change = self.value[:, other] - self.value[:, one]
        step = (self.weight[..., one] - self.weight[..., other])[..., None]
        total = step * change[:, None, :]
        total += self.total
        number = self._numbers(one, other)
        cost, worst = self.judged(total, number)
        taken = cost <= self.cost + daring
        np.copyto(self.total, total, where=taken)
        np.copyto(self.cost, cost, where=taken)
        np.copyto(self.worst, worst, where=taken)
        if number is not self.number:
            np.copyto(self.number, number, where=taken)
        self.value[:, one] += change * taken
        self.value[:, other] -= change * taken
        first, second = self.order[one], self.order[other]
        self.order[one], self.order[other] = np.where(taken, second, first), np.where(taken, first, second)

    def _numbers(self, one: int, other: int) -> Ints:
        """Who has which number after the exchange; kept only where a rule speaks of who is with whom."""
        if not (self.ages_count or len(self.apart[0])):
            return self.number
        number, row = self.number.copy(), np.arange(self.number.shape[1])
        number[self.order[one], row], number[self.order[other], row] = other, one
        return number

    def follow(self) -> None:
        """The worst quarter goes on from where the best is."""
        by_cost = np.argsort(self.cost, kind="stable")
        quarter = len(by_cost) // 4
        best, last = by_cost[:quarter], by_cost[-quarter:]
        for held in (self.order, self.number, self.value, self.total, self.cost, self.worst):
            held[..., last] = held[..., best]


def _begun(ground: Ground, table: Ints, lot: np.random.Generator) -> _Chains:
    chains = FEWER if ground.needs.any() else CHAINS
    order = np.stack([lot.permutation(table.shape[1]) for _ in range(chains)], axis=1)
    inside = ground.inside(table).transpose(1, 0, 2)
    share = inside / inside.sum(axis=-1)[..., None]
    attributes, kinds = ground.values.shape[1], ground.kinds.shape[1]
    weight = np.ascontiguousarray(np.stack([*[share] * attributes, *[inside] * kinds], axis=1), np.float32)
    value = np.ascontiguousarray(np.concatenate([ground.values, ground.kinds], axis=1).T[:, order], np.float32)
    total = np.ascontiguousarray(np.einsum("gart,atc->garc", weight, value))
    begun = _Chains(ground, table, weight, order, np.argsort(order, axis=0), value, total, *[np.zeros(chains)] * 2)
    begun.cost, begun.worst = begun.judged(total, begun.number)
    return begun


def placed(ground: Ground, table: Ints, steps: int, seed: int) -> Ints:
    """Children → group by round, for a table (rounds × numbers → group): the fairest worst round found."""
    lot, count = np.random.default_rng(seed), table.shape[1]
    chains = _begun(ground, table, lot)
    width = len(chains.cost)
    one = lot.integers(count, size=steps)
    other = (one + lot.integers(1, max(2, count), size=steps)) % count
    heats = float(np.mean(chains.worst % RULE)) * _heats(steps)
    best, kept = chains.worst.copy(), chains.order.copy()
    for step in range(steps):
        chains.exchange(int(one[step]), int(other[step]), heats[step] * lot.standard_exponential(width))
        better = chains.worst < best
        if better.any():
            best[better], kept[:, better] = chains.worst[better], chains.order[:, better]
        if step % max(1, steps // RESTS) == 0:
            chains.follow()
    seats = np.empty_like(table)
    seats[:, kept[:, int(np.argmin(best))]] = table
    return seats


def _heats(steps: int) -> Floats:
    """Slowly from hot to cold, and at the end down to nearly nothing."""
    last = steps // 8
    return np.concatenate([np.geomspace(HOT, COLD, steps - last), np.geomspace(COLD, COOLED, last)])
