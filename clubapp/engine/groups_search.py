"""Groups by search: annealing from the plain answers, then a few bands at a time cut anew in the best way there is."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from clubapp.engine import limits, search
from clubapp.engine.groups_columns import SAME, Part, choices
from clubapp.engine.groups_exact import best_partition
from clubapp.engine.groups_ground import Ground, group_marks, total
from clubapp.engine.groups_problem import Answer, Mode
from clubapp.engine.groups_table import Floats, Ints, Table
from clubapp.engine.limits import Allowance, Limit

MANY, STEPS = 60, 1000  # of more children a start is enough: so many swaps tried in each chain keep the rules
REOPENINGS = 6  # how often as many bands as can be are cut anew, for each band
FEW_GROUPS, TOUCHES = 4, 15  # at most so many groups cut anew before the proof, and how often
NEXT_TO_EACH_OTHER = 0.7  # how often bands that are next to each other are cut anew
PAIR_SETS = 3_000_000  # splits of two groups that can be looked at
COOLINGS = 10_000  # swaps tried in each chain where they cannot
REOPEN_SHARE = 0.02  # of the default limit, for one time
REOPEN_SETS = 20_000  # sets of children looked at when groups are cut anew


def annealed(table: Table, starts: Sequence[Answer], limit: Limit, seed: int) -> Ints:
    """Seats found by annealing; they may break rules where no chain found a way to keep them."""
    empty = _empty(table)
    count = len(table.ids)
    chains, steps = 24, STEPS if count > MANY else min(2000, 25 * count)
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
    while count < table.problem.groups and choices((count + 1) * size, [size]) <= REOPEN_SETS:
        count += 1
    return count


def banded(table: Table, seats: Ints, limit: Limit, seed: int) -> Ints:
    """LIKE: as many bands as can be cut anew again and again, mostly bands next to each other.

    seats must keep the rules.
    """
    size = int(np.bincount(seats).max())
    if choices(2 * size, [size]) > PAIR_SETS:
        return _cooled(table, seats, limit, seed)
    lot, allowance, groups = np.random.default_rng([seed, 1]), Allowance(limit), table.problem.groups
    count = how_many_to_reopen(table, seats)
    for _ in range(int(REOPENINGS * groups * limit.deterministic / limits.DEFAULT.deterministic)):
        seats = _cut_anew(table, seats, count, lot) if allowance.left else seats
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
