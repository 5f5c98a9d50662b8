"""Rounds by annealing, many chains at once in numpy: exchange two children in one round.

All chains exchange the same two children in the same round in a step; what changes is reckoned, not all of it anew.
Steps are counted, never timed, so that a seed repeats.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clubapp.engine.mixing_ground import RULE, Floats, Ground, Ints

CHAINS = 48
MEAN = 0.05  # how much the mean of the rounds counts beside the worst, so that the search does not stand on a plain


@dataclass
class _Chains:
    """seats: rounds × children × chains → group. met: children × children × chains. fair, lonely: rounds × chains.
    total: rounds × groups × attributes × chains, means.
    """

    ground: Ground
    seats: Ints
    met: Floats
    total: Floats
    fair: Floats
    lonely: Floats
    company: Floats
    now: Floats

    def exchange(self, turn: int, pair: tuple[int, int], daring: Floats) -> None:
        """The two change places in a round, in the chains where that is not too much worse."""
        (one, other), here = pair, self.seats[turn]
        gains = (here == here[other]).astype(float) - (here == here[one])
        gains[[one, other]] = 0.0
        company = self.company + self._meetings(one, other, gains)
        total = self._means(turn, one, other)
        fair, lonely = self.fair.copy(), self.lonely.copy()
        fair[turn] = (total.max(axis=0) - total.min(axis=0)).sum(axis=0)
        seats = here.copy()
        seats[[one, other]] = here[[other, one]]
        if self.lonely_counts:
            lonely[turn] = self.ground.lonely(seats.T)
        now = _cost(company, fair, lonely)
        taken = now <= self.now + daring
        for held, fresh in ((self.company, company), (self.fair, fair), (self.lonely, lonely), (self.now, now),
                            (self.total[turn], total), (here, seats)):  # fmt: skip
            np.copyto(held, fresh, where=taken)
        change = gains * taken
        self.met[one] += change
        self.met[:, one] += change
        self.met[other] -= change
        self.met[:, other] -= change

    @property
    def lonely_counts(self) -> bool:
        return bool(self.ground.kinds.shape[1] or self.ground.needs.any())

    def _meetings(self, one: int, other: int, gains: Floats) -> Floats:
        """What other meetings count more: a repeat more where they had met, one less where they had met twice."""
        ground = self.ground
        change: Floats = gains.T @ (ground.rule[one] - ground.rule[other])
        for child, more in ((one, gains), (other, -gains)):
            again = np.where(more > 0, self.met[child] >= 1, -(self.met[child] >= 2).astype(float)) * (more != 0)
            change = change + ground.repeat * again.sum(axis=0)
        return change

    def _means(self, turn: int, one: int, other: int) -> Floats:
        """Groups × attributes × chains of the round after the exchange."""
        here, groups = self.seats[turn], np.arange(len(self.ground.size))[:, None]
        step = ((groups == here[one]).astype(float) - (groups == here[other])) / self.ground.size[:, None]
        means: Floats = (
            self.total[turn] + step[:, None] * (self.ground.values[other] - self.ground.values[one])[:, None]
        )
        return means


def _cost(company: Floats, fair: Floats, lonely: Floats) -> Floats:
    figure: Floats = company + fair.max(axis=0) + MEAN * fair.mean(axis=0) + RULE * lonely.sum(axis=0)
    return figure


def _begun(ground: Ground, starts: Ints) -> _Chains:
    means = ground.inside(starts) @ ground.values / ground.size[:, None]
    met, fair, lonely = ground.met(starts), ground.fairness(starts).T, ground.lonely(starts).T
    company = ground.company(met)
    return _Chains(
        ground,
        np.array(np.moveaxis(starts, 0, -1), order="C"),
        np.ascontiguousarray(np.moveaxis(met, 0, -1)),
        np.ascontiguousarray(np.moveaxis(means, 0, -1)),
        fair.copy(),
        lonely.copy(),
        company,
        _cost(company, fair, lonely),
    )


def searched(ground: Ground, starts: Ints, steps: int, seed: int, first: int = 0) -> Ints:
    """Exchanges in one round at a time, from starts (chains × rounds × children → group). Rounds before the first stay
    as they are.
    """
    lot, (chains, rounds, count) = np.random.default_rng(seed), starts.shape
    held = _begun(ground, starts)
    best, kept = held.now.copy(), held.seats.copy()
    turns, one = lot.integers(first, rounds, size=steps), lot.integers(count, size=steps)
    other = (one + lot.integers(1, max(2, count), size=steps)) % count
    for step, heat in enumerate(_heats(ground, steps)):
        pair = int(one[step]), int(other[step])
        held.exchange(int(turns[step]), pair, heat * lot.standard_exponential(chains))
        better = held.now < best
        if better.any():
            best[better], kept[..., better] = held.now[better], held.seats[..., better]
    found: Ints = kept[..., int(np.argmin(best))]
    return found


def _heats(ground: Ground, steps: int) -> Floats:
    """What weighs more is settled first, while it is hot; then what weighs less."""
    first, then = ((1500.0, 100.0), (0.3, 0.005)) if ground.repeat > 1 else ((1.0, 0.01), (0.003, 0.00003))
    early = 3 * steps // 5
    return np.concatenate([np.geomspace(*first, early), np.geomspace(*then, steps - early)])
