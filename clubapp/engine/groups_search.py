"""Groups by search: annealing from the plain answers, then a few groups at a time cut anew in the best way there is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from clubapp.engine import limits, search
from clubapp.engine.groups_columns import Part, choices, marks
from clubapp.engine.groups_exact import SAME, best_partition
from clubapp.engine.groups_problem import Answer, Mode
from clubapp.engine.groups_table import Floats, Ints, Table
from clubapp.engine.limits import Allowance, Limit

BROKEN = 3.0  # energy of one broken rule, more than any swap is worth in fairness
UNFAIR = 100.0  # energy of a point of score lost for better company
SMOOTHINGS = 12  # how often two groups are cut anew, for each group
REOPENINGS = {Mode.EVEN: 20, Mode.LIKE: 6}  # how often as many groups as can be are cut anew, for each group
FEW_GROUPS, TOUCHES = 4, 15  # at most so many groups cut anew before the proof, and how often
NEXT_TO_EACH_OTHER = 0.7  # how often bands that are next to each other are cut anew
PAIR_SETS = 3_000_000  # splits of two groups that can be looked at
COOLINGS = 10_000  # swaps tried in each chain where they cannot
REOPEN_SHARE = 0.02  # of the default limit, for one time
REOPEN_SETS = {Mode.EVEN: 200_000, Mode.LIKE: 20_000}  # sets of children looked at when groups are cut anew


class Ground:
    """The children of a table, and empty places that let groups differ by one in size, as members of the search.

    aim: the score to keep; given one, the search is for the fewest pairs who were together before.
    """

    def __init__(self, table: Table, empty: int, aim: float | None = None) -> None:
        self.aim, self.pairs = aim, float(table.met.sum()) / 2 or 1.0
        self.table, self.count, self.empty = table, len(table.ids), empty
        self.touchy = np.flatnonzero(table.clash.any(axis=1))
        self.clash = table.clash[np.ix_(self.touchy, self.touchy)].astype(float)
        self.asking = np.flatnonzero(table.asks_near)
        self.near = table.near[:, self.asking].astype(float)
        chains = [atom for atom in table.atoms if len(atom) > 1]
        self.chains = np.zeros((self.count, len(chains)))
        for at, chain in enumerate(chains):
            self.chains[list(chain), at] = 1.0

    def features(self, groups: Floats) -> Floats:
        children = groups[:, : self.count]
        sizes = np.maximum(children.sum(axis=1), 1.0)
        values = self.table.values
        squares: Floats = children @ values[:, 0] ** 2 if values.shape[1] else sizes
        own = marks(self.table, children @ values, squares, sizes.astype(np.int64))
        broken = self._broken(children) + np.maximum(groups[:, self.count :].sum(axis=1) - 1, 0)
        company = ((children @ self.table.met) * children).sum(axis=1) / 2 if self.aim is not None else broken * 0
        features: Floats = np.hstack([own, company[:, None], broken[:, None]])
        return features

    def energy(self, features: Floats) -> Floats:
        own, company, broken = features[:, :, :-2], features[:, :, -2].sum(axis=1), features[:, :, -1].sum(axis=1)
        score = own.max(axis=1).sum(axis=1) if self.table.spread else own.sum(axis=(1, 2))
        if self.aim is not None:
            score = UNFAIR * np.maximum(score - self.aim - SAME, 0.0) + company / self.pairs
        energy: Floats = np.asarray(score + BROKEN * broken)
        return energy

    def _broken(self, children: Floats) -> Floats:
        """How much each group breaks the rules."""
        touchy = children[:, self.touchy]
        broken: Floats = ((touchy @ self.clash) * touchy).sum(axis=1) / 2
        with_us = children @ self.chains
        broken += np.minimum(with_us, self.chains.sum(axis=0) - with_us).sum(axis=1)
        broken += (children @ self.table.kinds.T == 1).sum(axis=1)
        broken += ((children @ self.near == 0) * children[:, self.asking]).sum(axis=1)
        if self.table.new.any():
            new = children @ self.table.new
            broken += (new > 0) & (new == children.sum(axis=1))
        return broken


def annealed(table: Table, starts: Sequence[Answer], limit: Limit, seed: int) -> Ints:
    """Seats found by annealing; they may break rules where no chain found a way to keep them."""
    empty = _empty(table)
    chains, steps = 24, 4000 if len(table.ids) > 30 else 25 * len(table.ids)
    seats = [_with_empty(table, table.seats(start), empty) for start in starts]
    lot, free = np.random.default_rng(seed), _free(table, empty)
    while len(seats) < chains:
        shuffled = seats[len(seats) % len(starts)].copy()
        shuffled[free] = lot.permutation(shuffled[free])
        seats.append(shuffled)
    plan = search.Plan(max(min(200, steps), int(steps * min(1.0, limit.deterministic / 4))))
    found, _ = search.anneal(Ground(table, empty), np.array(seats), free, plan, seed)
    return found[: len(table.ids)]


def _cooled(table: Table, seats: Ints, limit: Limit, seed: int) -> Ints:
    """By swaps alone: two groups this large have more splits than can be looked at; swaps come close to the mean."""
    starts = np.tile(_with_empty(table, seats, _empty(table)), (24, 1))
    ground, steps = Ground(table, _empty(table)), int(COOLINGS * limit.deterministic / limits.DEFAULT.deterministic)
    plan = search.Plan(min(steps, 4 * COOLINGS), hot=0.05, cold=1e-5)
    return search.anneal(ground, starts, _free(table, _empty(table)), plan, seed)[0][: len(table.ids)]


def kinder(table: Table, seats: Ints, seed: int) -> Ints:
    """Seats with the same score and fewer pairs who were together before, as far as swaps find them."""
    empty, aim = _empty(table), total(table, group_marks(table, seats))
    starts = np.tile(_with_empty(table, seats, empty), (24, 1))
    ground, plan = Ground(table, empty, aim), search.Plan(min(1200, 50 * len(seats)), hot=0.1)
    found, _ = search.anneal(ground, starts, _free(table, empty), plan, seed)
    return found[: len(table.ids)]


def _empty(table: Table) -> int:
    """Places that stay empty where the children do not share out evenly and no sizes are given."""
    return 0 if table.problem.sizes else -len(table.ids) % table.problem.groups


def _free(table: Table, empty: int) -> Ints:
    return np.flatnonzero(np.concatenate([table.locked < 0, np.ones(empty, dtype=bool)]))


def _with_empty(table: Table, seats: Ints, empty: int) -> Ints:
    """A start with its empty places, and with locked children in their groups: each changes with somebody there."""
    groups = table.problem.groups
    full = -(-len(seats) // groups)
    spare = np.repeat(np.arange(groups), full - np.bincount(seats, minlength=groups)) if empty else seats[:0]
    members = np.concatenate([seats, spare])
    free = np.concatenate([table.locked < 0, np.ones(empty, dtype=bool)])
    for at in np.flatnonzero(table.locked >= 0):
        there = np.flatnonzero((members == table.locked[at]) & free)
        if members[at] != table.locked[at] and len(there):
            members[there[0]], members[at] = members[at], members[there[0]]
    return members


def group_marks(table: Table, seats: Ints) -> Floats:
    """The marks of every group, groups × marks."""
    inside = (seats[None, :] == np.arange(table.problem.groups)[:, None]).astype(float)
    squares = inside @ table.values[:, 0] ** 2 if table.values.shape[1] else inside.sum(axis=1)
    return marks(table, inside @ table.values, squares, inside.sum(axis=1).astype(np.int64))


def total(table: Table, own: Floats) -> float:
    """The score of groups with these marks: the spread, or the sum of squares."""
    return float(own.max(axis=0).sum() if table.spread else own.sum())


def reopened(table: Table, seats: Ints, chosen: Sequence[int], allowance: Allowance) -> Ints | None:
    """Better seats after the chosen groups are cut anew in the best way; None if they are as good as can be."""
    own = group_marks(table, seats)
    rest = np.delete(own, list(chosen), axis=0)
    standing = _standing(table, rest, seats, chosen)
    children = np.flatnonzero(np.isin(seats, list(chosen)))
    sizes = tuple(int((seats == group).sum()) for group in chosen)
    part = Part(children, tuple(chosen), sizes, standing)
    found = best_partition(table, part, total(table, own) - SAME, allowance)
    return None if found.groups is None else seated(table, part, found.groups, seats)


def _standing(table: Table, rest: Floats, seats: Ints, chosen: Sequence[int]) -> Floats:
    if not table.spread:
        inside: Floats = rest.sum(axis=0)
        return inside
    nothing = np.zeros((1, rest.shape[1]))  # the mean of all
    best: Floats = np.vstack([rest, nothing]).max(axis=0)
    return best


def seated(table: Table, part: Part, groups: Sequence[Ints], seats: Ints) -> Ints:
    """Seats with a part's new groups: each at the index its locks ask for, or at one that is free and of its size."""
    seats = seats.copy()
    free = list(part.groups)
    sizes = dict(zip(part.groups, part.sizes, strict=True))
    for group in sorted(groups, key=lambda group: -int(table.locked[group].max())):
        lock = int(table.locked[group].max())
        fits = [g for g in free if table.problem.sizes is None or sizes[g] == len(group)]
        index = lock if lock >= 0 else fits[0]
        free.remove(index)
        seats[group] = index
    return seats


def how_many_to_reopen(table: Table, seats: Ints) -> int:
    """As many groups as can be cut anew at once with all their sets of children looked at."""
    size, count = int(np.bincount(seats).max()), 2
    most = REOPEN_SETS[table.problem.mode]
    while count < table.problem.groups and choices((count + 1) * size, [size]) <= most:
        count += 1
    return count


def improved(table: Table, seats: Ints, limit: Limit, seed: int) -> Ints:
    """Cut groups anew, the worst first: two at a time until all are near the mean, then as many as can be.

    seats must keep the rules. The spread alone would leave a search standing where several groups make it.
    """
    size = int(np.bincount(seats).max())
    if choices(2 * size, [size]) > PAIR_SETS:
        return _cooled(table, seats, limit, seed)
    lot, allowance, groups = np.random.default_rng([seed, 1]), Allowance(limit), table.problem.groups
    times = groups * limit.deterministic / limits.DEFAULT.deterministic
    plans = [(table, how_many_to_reopen(table, seats), int(times * REOPENINGS[table.problem.mode]))]
    if table.problem.mode is Mode.EVEN:
        plans.insert(0, (replace(table, smooth=True), 2, int(times * SMOOTHINGS)))
    for aim, count, tries in plans:
        for _ in range(tries):
            seats = _cut_anew(aim, seats, count, lot) if allowance.left else seats
            allowance.reached(table.as_score(total(table, group_marks(table, seats))))
    return seats


def touched_up(table: Table, seats: Ints, seed: int) -> Ints:
    """A few groups at a time cut anew where all at once may be too much: a good start for the proof."""
    lot, few = np.random.default_rng([seed, 2]), min(FEW_GROUPS, table.problem.groups - 1)
    for _ in range(TOUCHES if few > 1 else 0):
        seats = _cut_anew(table, seats, few, lot)
    return seats


def _cut_anew(table: Table, seats: Ints, count: int, lot: np.random.Generator) -> Ints:
    better = reopened(table, seats, _choice(table, seats, count, lot), Allowance(limits.DEFAULT, REOPEN_SHARE))
    return seats if better is None else better


def _choice(table: Table, seats: Ints, count: int, lot: np.random.Generator) -> list[int]:
    """Groups to cut anew. EVEN: some that make the score, others by lot. LIKE: mostly bands next to each other."""
    own = group_marks(table, seats)
    if table.problem.mode is Mode.LIKE and lot.random() < NEXT_TO_EACH_OTHER:
        able = np.bincount(seats, weights=table.values[:, 0]) / np.bincount(seats)
        first = int(lot.integers(len(own) - count + 1))
        return sorted(int(group) for group in np.argsort(able)[first : first + count])
    weight = (own / np.maximum(own.max(axis=0), SAME)).max(axis=1) ** 8 + 0.02
    chosen = lot.choice(len(own), size=count, replace=False, p=weight / weight.sum())
    return sorted(int(group) for group in chosen)
