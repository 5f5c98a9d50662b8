"""Rounds by annealing, many chains at once in numpy: exchange two children in one round.

All chains exchange the same two children in the same round in a step; what changes is reckoned, not all of it anew.
Children who must be together change places as one, with as many of another group. Who lacks company by the rules on
kinds counts little at first, in some chains less than in others: under rules in full girls and boys could hardly move.
Steps are counted, never timed, so that a seed repeats.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from clubapp.engine.mixing_ground import RULE, Floats, Ground, Ints

Changes = NDArray[np.int8]
Bools = NDArray[np.bool_]

CHAINS = 48
MEAN = 0.05  # how much the mean of the rounds counts beside the worst, so that the search does not stand on a plain
AS_ONE = 0.1  # share of the steps in which children who must be together change places
LENIENT, STRICTER = 4.0, 40  # repeats that lack of company counts at first, and how often it counts more
SOON, STRICT = (1.5, 15.0), 12  # how fast it counts in full, from chain to chain; one chain in so many always counts so


@dataclass
class _Chains:
    """seats: rounds × children × chains → group. met: children × children × chains. fair, lonely: rounds × chains.
    total: rounds × groups × attributes × chains, means. alone: what one lack of company counts in each chain.
    """

    ground: Ground
    seats: Ints
    met: Floats
    total: Floats
    fair: Floats
    lonely: Floats
    company: Floats
    alone: Floats
    now: Floats

    def exchange(self, turn: int, pair: tuple[int, int], daring: Floats) -> None:
        """The two change places in a round, in the chains where that is not too much worse."""
        (one, other), here = pair, self.seats[turn]
        gains = (here == here[other]).astype(float) - (here == here[one])
        gains[[one, other]] = 0.0
        seats = here.copy()
        seats[[one, other]] = here[[other, one]]
        company, lonely = self.company + self._meetings(one, other, gains), self.lonely
        if self._company_counts(one, other):
            lonely = self._lonely(turn, seats)
        taken = self._take(turn, seats, self._means(turn, one, other), (company, lonely), daring)
        change = gains * taken
        self.met[one] += change
        self.met[:, one] += change
        self.met[other] -= change
        self.met[:, other] -= change

    def move(self, turn: int, tied: Ints, other: int, order: Floats, daring: Floats) -> None:
        """Children who are together change places with as many of the group of another child: the first of these by
        the order given, children × chains.
        """
        here = self.seats[turn]
        group, there = here[tied[0]], here[other]
        chosen = np.argsort(np.where(here == there, order, np.inf), axis=0, kind="stable")[: len(tied)]
        seats = here.copy()
        seats[tied] = there
        np.put_along_axis(seats, chosen, group[None, :], axis=0)
        seats = np.where(group == there, here, seats)
        change = (seats[:, None] == seats).view(np.int8) - (here[:, None] == here).view(np.int8)
        means = np.moveaxis(self.ground.inside(seats.T) @ self.ground.values / self.ground.size[:, None], 0, -1)
        company = self.company + self._again(change)
        self.met += change * self._take(turn, seats, means, (company, self._lonely(turn, seats)), daring)

    def _take(
        self, turn: int, seats: Ints, means: Floats, then: tuple[Floats, Floats], daring: Floats
    ) -> NDArray[np.bool_]:
        """Go on from other seats in a round, in the chains where they are not too much worse; which these are."""
        company, lonely = then
        fair = self.fair.copy()
        fair[turn] = (means.max(axis=0) - means.min(axis=0)).sum(axis=0)
        now = self._cost(company, fair, lonely)
        taken: Bools = now <= self.now + daring
        for held, fresh in ((self.company, company), (self.fair, fair), (self.lonely, lonely), (self.now, now),
                            (self.total[turn], means), (self.seats[turn], seats)):  # fmt: skip
            np.copyto(held, fresh, where=taken)
        return taken

    def grow_stricter(self, share: float) -> None:
        """Lack of company counts more: at the end, a share of 1, in full."""
        least, soon = LENIENT * self.ground.repeat, np.geomspace(*SOON, len(self.now))
        self.alone = np.minimum(RULE, least * (RULE / least) ** (soon * share))
        self.alone[::STRICT] = RULE
        self.now = self._cost(self.company, self.fair, self.lonely)

    @property
    def strict(self) -> Floats:
        """What the chains count with every rule in full."""
        figure: Floats = self.now + (RULE - self.alone) * self.lonely.sum(axis=0)
        return figure

    def _cost(self, company: Floats, fair: Floats, lonely: Floats) -> Floats:
        mean = MEAN / len(fair) * fair.sum(axis=0)
        figure: Floats = company + fair.max(axis=0) + mean + self.alone * lonely.sum(axis=0)
        return figure

    def _company_counts(self, one: int, other: int) -> bool:
        """Whether it matters for rules on kinds and age which of the two stands where."""
        kinds = self.ground.kinds
        return bool(self.ground.needs.any() or (kinds[one] != kinds[other]).any())

    def _lonely(self, turn: int, seats: Ints) -> Floats:
        lonely = self.lonely.copy()
        lonely[turn] = self.ground.lonely(seats.T)
        return lonely

    def _again(self, change: Changes) -> Floats:
        """What all meetings count more where children come together (1) and part (−1): children × children × chains."""
        repeats = (change * np.where(change > 0, self.met >= 1, self.met >= 2)).reshape(-1, len(self.now))
        one, other = np.nonzero(np.triu(self.ground.rule))
        more: Floats = self.ground.rule[one, other] @ change[one, other]
        more += self.ground.repeat / 2 * repeats.sum(axis=0, dtype=np.int64)
        return more

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


def _begun(ground: Ground, starts: Ints) -> _Chains:
    means = ground.inside(starts) @ ground.values / ground.size[:, None]
    met = ground.met(starts)
    begun = _Chains(
        ground,
        np.array(np.moveaxis(starts, 0, -1), order="C"),
        np.ascontiguousarray(np.moveaxis(met, 0, -1)),
        np.ascontiguousarray(np.moveaxis(means, 0, -1)),
        ground.fairness(starts).T.copy(),
        ground.lonely(starts).T.copy(),
        ground.company(met),
        np.full(len(starts), RULE),
        np.zeros(len(starts)),
    )
    begun.now = begun._cost(begun.company, begun.fair, begun.lonely)
    return begun


@dataclass(frozen=True)
class _Steps:
    """What is tried in each step: turns; as_one: whether children who must be together change places, which of them;
    else one; with other. atom: the same number for children who must be together.
    """

    turns: Ints
    as_one: Bools
    which: Ints
    one: Ints
    other: Ints
    tied: list[Ints]
    atom: Ints


def _drawn(ground: Ground, starts: Ints, steps: int, first: int, lot: np.random.Generator) -> _Steps:
    """Where a start parts children who must be together everybody changes places alone."""
    _, rounds, count = starts.shape
    whole = all((starts[..., chain] == starts[..., chain[:1]]).all() for chain in ground.tied)
    bound, atom = np.zeros(count, dtype=bool), np.arange(count)
    for chain in ground.tied:
        bound[chain], atom[chain] = whole, chain[0]
    alone = np.flatnonzero(~bound) if (~bound).sum() > 1 else np.arange(count)
    tied = [chain for chain in ground.tied if whole and len(chain) < ground.size.min()]
    turns, one = lot.integers(first, rounds, size=steps), lot.integers(len(alone), size=steps)
    other = (one + lot.integers(1, max(2, len(alone)), size=steps)) % len(alone)
    as_one = lot.random(steps) < (AS_ONE if tied else 0.0)
    which = lot.integers(max(1, len(tied)), size=steps)
    return _Steps(turns, as_one, which, alone[one], alone[other], tied, atom)


def searched(ground: Ground, starts: Ints, steps: int, seed: int, first: int = 0) -> Ints:
    """Exchanges in one round at a time, from starts (chains × rounds × children → group). Rounds before the first stay
    as they are.
    """
    lot, size = np.random.default_rng(seed), (starts.shape[-1], len(starts))
    held, drawn, early = _begun(ground, starts), _drawn(ground, starts, steps, first, lot), max(1, _early(steps))
    best, kept = held.strict, held.seats.copy()
    for step, heat in enumerate(_heats(ground, steps)):
        if ground.repeat > 1 and step <= early and step % max(1, early // STRICTER) == 0:
            held.grow_stricter(step / early)
        turn, other, daring = int(drawn.turns[step]), int(drawn.other[step]), heat * lot.standard_exponential(size[1])
        if drawn.as_one[step]:
            held.move(turn, drawn.tied[drawn.which[step]], other, lot.random(size)[drawn.atom], daring)
        else:
            held.exchange(turn, (int(drawn.one[step]), other), daring)
        now = held.strict
        better = now < best
        if better.any():
            best[better], kept[..., better] = now[better], held.seats[..., better]
    found: Ints = kept[..., int(np.argmin(best))]
    return found


def _early(steps: int) -> int:
    """How many of the steps are hot."""
    return 3 * steps // 5


def _heats(ground: Ground, steps: int) -> Floats:
    """What weighs more is settled first, while it is hot; then what weighs less."""
    first, then = ((1500.0, 100.0), (0.3, 0.005)) if ground.repeat > 1 else ((1.0, 0.01), (0.003, 0.00003))
    return np.concatenate([np.geomspace(*first, _early(steps)), np.geomspace(*then, steps - _early(steps))])
