"""Rounds by annealing, many chains at once in numpy: exchange two children in one round, or everywhere.

To exchange them everywhere leaves who meets whom as the table has it, and changes only who takes which number. Steps
are counted, never timed, so that a seed repeats.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from clubapp.engine import fairness
from clubapp.engine.mixing_problem import REPEAT, Answer, Problem

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

CHAINS = 48
PLACERS = 8  # chains that place children on the numbers of a table
RULE = 100_000.0  # what a broken rule counts: more than all repeats together
MEAN = 0.05  # how much the mean of the rounds counts beside the worst, so that the search does not stand on a plain
SMOOTH = 0.8  # the same where children are placed on a table, whose worst round is hard to move


@dataclass(frozen=True)
class Ground:
    """values: children × attributes, scaled so that a difference of group means is its part of the score. size: of
    each group. rule: what a meeting of two counts by the rules. free: 1 where a repeat counts, 0 for who is held
    together.
    """

    values: Floats
    size: Floats
    rule: Floats
    free: Floats
    repeat: float

    def fairness(self, seats: Ints) -> Floats:
        """… × children → the fairness of those rounds: means by each group's own size."""
        inside = (seats[..., None, :] == np.arange(len(self.size))[:, None]).astype(float)
        means = inside @ self.values / inside.sum(axis=-1)[..., None]
        spread: Floats = (means.max(axis=-2) - means.min(axis=-2)).sum(axis=-1)
        return spread

    def met(self, seats: Ints) -> Floats:
        """Chains × rounds × children → chains × children × children: how often two were together."""
        same: Floats = (seats[..., :, None] == seats[..., None, :]).sum(axis=-3).astype(float)
        same[..., np.arange(seats.shape[-1]), np.arange(seats.shape[-1])] = 0.0
        return same

    def company(self, met: Floats) -> Floats:
        """What all meetings of a chain count: repeats and rules."""
        again = np.maximum(met - 1, 0) * self.free * self.repeat + met * self.rule
        total: Floats = again.sum(axis=(-2, -1)) / 2
        return total


def ground_of(problem: Problem) -> Ground:
    children = {child: at for at, child in enumerate(problem.ids)}
    columns = []
    for attribute in problem.balance:
        values = fairness.filled(problem.athletes, problem.on, attribute.name).values
        sd = fairness.deviation(values)
        columns.append(np.array(values) * (attribute.weight / sd if sd else 0.0))
    rule, free = np.zeros((len(children), len(children))), np.ones((len(children), len(children)))
    for pairs, count in ((problem.together, -RULE), (problem.apart, RULE)):
        for one, other in problem.pairs(pairs):
            a, b = children[one], children[other]
            rule[a, b] = rule[b, a] = count
            free[a, b] = free[b, a] = float(count > 0)
    scaled: Floats = np.stack(columns, axis=1) if columns else np.zeros((len(children), 1))
    return Ground(scaled, np.array(problem.sizes, dtype=float), rule, free, REPEAT[problem.aim])


def _worst(fair: Floats) -> Floats:
    """Chains × rounds → one figure a chain."""
    figure: Floats = fair.max(axis=1) + MEAN * fair.mean(axis=1)
    return figure


@dataclass
class _Chains:
    ground: Ground
    seats: Ints  # chains × rounds × children
    met: Floats
    fair: Floats  # chains × rounds
    company: Floats
    now: Floats

    def replace(self, taken: Ints, seats: Ints, **fresh: Any) -> None:
        self.seats[taken] = seats[taken]
        for name, values in fresh.items():
            getattr(self, name)[taken] = values[taken]


def _begun(ground: Ground, seats: Ints) -> _Chains:
    met, fair = ground.met(seats), ground.fairness(seats)
    company = ground.company(met)
    return _Chains(ground, seats.copy(), met, fair, company, company + _worst(fair))


def placed(ground: Ground, table: Ints, steps: int, seed: int) -> Ints:
    """Who takes which number of a table (rounds × numbers → group): the fairest worst round found."""
    lot = np.random.default_rng(seed)
    count, row = table.shape[1], np.arange(PLACERS)
    orders = np.stack([lot.permutation(count) for _ in row])
    one, other = lot.integers(count, size=(2, steps, PLACERS))
    daring = lot.exponential(size=(steps, PLACERS)) * np.geomspace(0.2, 0.015, steps)[:, None]
    judge = _judge(ground, table)
    now, best = judge(orders)
    kept = orders.copy()
    for step in range(steps):
        moved = orders.copy()
        moved[row, one[step]], moved[row, other[step]] = orders[row, other[step]], orders[row, one[step]]
        fresh, worst = judge(moved)
        taken = fresh <= now + daring[step]
        orders[taken], now[taken] = moved[taken], fresh[taken]
        better = worst < best
        best[better], kept[better] = worst[better], moved[better]
    seats = np.empty_like(table)
    seats[:, kept[int(np.argmin(best))]] = table
    return seats


def _judge(ground: Ground, table: Ints) -> Callable[[Ints], tuple[Floats, Floats]]:
    """What an order (chains × numbers → child) counts, smoothed for the search and exactly.

    Group means are one product with a matrix that stays.
    """
    inside = (table[:, None, :] == np.arange(len(ground.size))[:, None]).astype(float)
    share = (inside / inside.sum(axis=-1)[..., None]).reshape(-1, table.shape[1])
    met = ground.met(table)
    one, other = np.nonzero(np.triu(ground.rule))

    def judged(orders: Ints) -> tuple[Floats, Floats]:
        means = (share @ ground.values[orders]).reshape(len(orders), len(table), len(ground.size), -1)
        fair = (means.max(axis=2) - means.min(axis=2)).sum(axis=-1)
        worst = fair.max(axis=1)
        if len(one):
            number = np.argsort(orders, axis=1)
            worst += met[number[:, one], number[:, other]] @ ground.rule[one, other]
        return worst + SMOOTH * fair.mean(axis=1), worst

    return judged


def searched(ground: Ground, starts: Ints, steps: int, seed: int) -> Ints:
    """Exchanges in one round at a time, from starts (chains × rounds × children → group)."""
    lot = np.random.default_rng(seed)
    chains, (number, rounds, count) = _begun(ground, starts), starts.shape
    row = np.arange(number)
    best, kept = chains.now.copy(), chains.seats.copy()
    for heat in _heats(ground, steps):
        turn = lot.integers(rounds, size=number)
        one, other = lot.integers(count, size=number), lot.integers(count, size=number)
        moved = chains.seats[row, turn]
        moved[row, one], moved[row, other] = chains.seats[row, turn, other], chains.seats[row, turn, one]
        met = chains.met + _changed(chains.seats[row, turn], moved)
        fair = chains.fair.copy()
        fair[row, turn] = ground.fairness(moved)
        company = ground.company(met)
        now = company + _worst(fair)
        taken = np.flatnonzero(now <= chains.now + heat * lot.exponential(size=number))
        after = chains.seats.copy()
        after[row, turn] = moved
        chains.replace(taken, after, met=met, fair=fair, company=company, now=now)
        better = np.flatnonzero(chains.now < best)
        best[better], kept[better] = chains.now[better], chains.seats[better]
    found: Ints = kept[int(np.argmin(best))]
    return found


def _heats(ground: Ground, steps: int) -> Floats:
    """What weighs more is settled first, while it is hot; then what weighs less."""
    first, then = ((1500.0, 100.0), (0.3, 0.005)) if ground.repeat > 1 else ((1.0, 0.01), (0.003, 0.00003))
    early = 3 * steps // 5
    return np.concatenate([np.geomspace(*first, early), np.geomspace(*then, steps - early)])


def _changed(before: Ints, after: Ints) -> Floats:
    """How many more or fewer times each two are together."""
    gained = (after[:, :, None] == after[:, None, :]).astype(float)
    lost = (before[:, :, None] == before[:, None, :]).astype(float)
    change: Floats = gained - lost
    return change


def answer_of(problem: Problem, seats: Ints) -> Answer:
    """Rounds × children → group, as groups of ids."""
    ids = problem.ids
    return Answer(
        tuple(
            tuple(tuple(sorted(ids[at] for at in np.flatnonzero(turn == group))) for group in range(problem.groups))
            for turn in seats
        )
    )
