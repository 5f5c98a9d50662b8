"""Swap search with annealing, many chains at once in numpy. Steps are counted, never timed, so that a seed repeats.

Metropolis et al., 1953; Kirkpatrick, Gelatt and Vecchi, 1983.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


class Ground(Protocol):
    """What is searched: members to be seated in groups of fixed size."""

    def features(self, groups: Floats) -> Floats:
        """m × members of 0 and 1 → m × features: what each group is like by itself."""

    def energy(self, features: Floats) -> Floats:
        """chains × groups × features → one figure a chain, smaller is better."""


@dataclass(frozen=True)
class Plan:
    """steps: swaps tried in each chain. hot, cold: energy steps taken readily at the start and at the end."""

    steps: int
    hot: float = 0.3
    cold: float = 0.002


def anneal(ground: Ground, seats: Ints, movable: Ints, plan: Plan, seed: int) -> tuple[Ints, float]:
    """The best seats found and their energy, from chains × members starts; only movable members change places."""
    chains = _Chains(ground, seats)
    if len(movable):
        lot = np.random.default_rng(seed)
        size = (plan.steps, len(seats))
        one, other = movable[lot.integers(len(movable), size=size)], movable[lot.integers(len(movable), size=size)]
        daring = lot.exponential(size=size) * np.geomspace(plan.hot, plan.cold, plan.steps)[:, None]
        for step in range(plan.steps):
            chains.swap(one[step], other[step], daring[step])
    at = int(np.argmin(chains.best))
    return chains.best_seats[at], float(chains.best[at])


class _Chains:
    """seats: chains × members. inside: chains × groups × members of 0 and 1. features of every group, energy."""

    def __init__(self, ground: Ground, seats: Ints) -> None:
        count, members = seats.shape
        groups = int(seats.max()) + 1
        self.ground, self.seats, self.row = ground, seats.copy(), np.arange(count)
        self.inside = (seats[:, None, :] == np.arange(groups)[None, :, None]).astype(float)
        flat = ground.features(self.inside.reshape(-1, members))
        self.features = flat.reshape(count, groups, -1)
        self.now = ground.energy(self.features)
        self.best, self.best_seats = self.now.copy(), seats.copy()

    def swap(self, one: Ints, other: Ints, daring: Floats) -> None:
        """Let one member of each chain change places with another, where that is no worse than the chain dares."""
        row = self.row
        left, right = self.seats[row, one], self.seats[row, other]
        first, second = self.inside[row, left], self.inside[row, right]
        first[row, one], first[row, other] = 0.0, 1.0
        second[row, one], second[row, other] = 1.0, 0.0
        fresh = self.ground.features(np.concatenate([first, second]))
        features = self.features.copy()
        features[row, left], features[row, right] = fresh[: len(row)], fresh[len(row) :]
        energy = self.ground.energy(features)
        taken = np.flatnonzero((energy <= self.now + daring) & (left != right))
        self.inside[taken, left[taken]], self.inside[taken, right[taken]] = first[taken], second[taken]
        self.features[taken], self.now[taken] = features[taken], energy[taken]
        self.seats[taken, one[taken]], self.seats[taken, other[taken]] = right[taken], left[taken]
        better = taken[self.now[taken] < self.best[taken]]
        self.best[better], self.best_seats[better] = self.now[better], self.seats[better]
