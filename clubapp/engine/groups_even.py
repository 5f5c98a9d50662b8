"""Even groups of a large squad: two at a time smoothed, then several at a time dealt anew; shaken, and once more."""

from __future__ import annotations

from collections.abc import Sequence
from math import comb

import numpy as np

from clubapp.engine.groups_columns import SAME, too_many, whole
from clubapp.engine.groups_cover import Cover
from clubapp.engine.groups_ground import Ground, group_marks, total
from clubapp.engine.groups_recut import Deal, dealt_anew, subsets
from clubapp.engine.groups_table import Floats, Ints, Table
from clubapp.engine.limits import Allowance, Limit

SHARE, OF_MANY = 0.5, 0.45  # of the limit, of many children; the rest is for finding a start and for better company
GIVEN_UP = 8  # children a group gives up at most
SWAPPED = 6  # children each of two groups gives up when they are smoothed
SMOOTHINGS = 15  # how often two groups are smoothed, for each group
MOST_SETS, MOST_POOL = 2_000_000, 36  # of the children given up together
RUNGS = 3  # how many numbers of groups are tried, the largest that can be
PATIENCE = 25  # deals in vain before more groups are dealt anew
DRAWS = 60  # of groups by lot, until there is room for a smaller score
SMOOTHING, DRAW = 0.0004, 0.00006  # work units of one smoothing, and of drawing groups by lot
SHAKEN, SWEPT = 0.5, 2  # share of the groups that are shaken, and how many children each of them gives up for it
SHAKES = 30  # tries to shake and keep the rules


def evened(table: Table, seats: Ints, limit: Limit, seed: int, enough: float = 0.0) -> tuple[Ints, bool]:
    """The most even seats found, and whether there are none better. seats must keep the rules; so do those found.

    enough: of many children no better score than this is sought.
    """
    lot, many = np.random.default_rng([seed, 1]), too_many(whole(table, np.bincount(seats).tolist()))
    allowance = Allowance(limit, OF_MANY if many else SHARE)
    cover = Cover(Ground(table, 0), seats, lot, allowance, enough if many else 0.0)
    best = cover.done()
    if best or not many:
        return cover.seats, best
    return dealt(cover, lot, allowance), False


def dealt(cover: Cover, lot: np.random.Generator, allowance: Allowance) -> Ints:
    """Two groups at a time smoothed, several dealt anew, shaken, and once more, until it is enough or time is over."""
    ground, best, score, seats = cover.ground, cover.seats, cover.score, cover.seats
    while score > cover.enough and allowance.left:
        found = _climbed(ground, smoothed(ground, seats, lot, allowance), lot, allowance)
        worth = total(ground.table, group_marks(ground.table, found))
        best, score = (found, worth) if worth < score else (best, score)
        seats = _shaken(ground, best, lot)
    return best


def _shaken(ground: Ground, seats: Ints, lot: np.random.Generator) -> Ints:
    """Some groups dealt anew by lot, the rules kept: another place to climb from."""
    table, groups = ground.table, ground.table.problem.groups
    for _ in range(SHAKES):
        number = max(2, int(SHAKEN * groups))
        chosen = tuple(lot.choice(groups, size=number, replace=False))
        pool = _given_up(table, seats, chosen, SWEPT, lot)
        shaken = seats.copy()
        shaken[pool] = lot.permutation(seats[pool])
        if not _broken(ground, shaken):
            return shaken
    return seats


def _broken(ground: Ground, seats: Ints) -> float:
    inside = (seats[None, :] == np.arange(ground.table.problem.groups)[:, None]).astype(float)
    return float(ground.broken(inside).sum())


def rungs(size: int, groups: int) -> list[tuple[int, int]]:
    """How many groups to deal anew, and how many children each gives up: as much as can be looked at."""
    given = min(size, GIVEN_UP)
    numbers = range(2, min(groups, MOST_POOL // given, 6) + 1)
    return [(number, given) for number in numbers if comb(number * given, given) <= MOST_SETS][-RUNGS:]


def _climbed(ground: Ground, seats: Ints, lot: np.random.Generator, allowance: Allowance) -> Ints:
    """Seats after dealing anew more and more groups at a time, each as often as it helps."""
    now = Standing(ground.table, seats)
    for number, given in rungs(int(np.bincount(seats).max()), ground.table.problem.groups):
        vain = 0
        while vain < PATIENCE and allowance.left and (chosen := now.with_room(number, lot, allowance)):
            deal = Deal(ground, seats, chosen, _given_up(ground.table, seats, chosen, given, lot))
            better = dealt_anew(deal, allowance)
            vain = vain + 1 if better is None else 0
            if better is not None:
                seats, now = better, Standing(ground.table, better)
                allowance.reached(float(now.top.sum()))
    return seats


class Standing:
    """How far each group is off the mean of all, and which of them make the score."""

    def __init__(self, table: Table, seats: Ints) -> None:
        self.own = group_marks(table, seats)
        self.top = self.own.max(axis=0)
        weight = (self.own / np.maximum(self.top, SAME)).max(axis=1) ** 8 + 0.02
        self.often = weight / weight.sum()

    def some(self, number: int, lot: np.random.Generator) -> tuple[int, ...]:
        """Some groups that make the score, others by lot."""
        return tuple(sorted(lot.choice(len(self.own), size=number, replace=False, p=self.often).tolist()))

    def with_room(self, number: int, lot: np.random.Generator, allowance: Allowance) -> tuple[int, ...]:
        """Some without whom the score would be smaller; none where others nearly always are as far off as they are."""
        for _ in range(DRAWS):
            chosen = self.some(number, lot)
            allowance.spend(DRAW)
            rest = np.delete(self.own, chosen, axis=0).max(axis=0, initial=0.0)
            if float((self.top - rest).sum()) >= SAME:
                return chosen
        return ()


def _given_up(table: Table, seats: Ints, chosen: Sequence[int], given: int, lot: np.random.Generator) -> Ints:
    """Who of the chosen groups is dealt anew, by lot; nobody who is locked."""
    free = [np.flatnonzero((seats == group) & (table.locked < 0)) for group in chosen]
    return np.sort(np.concatenate([lot.permutation(group)[:given] for group in free]))


def smoothed(ground: Ground, seats: Ints, lot: np.random.Generator, allowance: Allowance) -> Ints:
    """Two groups at a time made so that the squares of their means are least: that keeps every group near the mean,
    which the spread alone would not reward.
    """
    table = ground.table
    for _ in range(SMOOTHINGS * table.problem.groups):
        chosen = Standing(table, seats).some(2, lot)
        seats = _swapped(ground, seats, chosen, _given_up(table, seats, chosen, SWAPPED, lot))
        allowance.spend(SMOOTHING)
    return seats


def _swapped(ground: Ground, seats: Ints, chosen: Sequence[int], pool: Ints) -> Ints:
    """The best way to deal a pool to two groups that keeps the rules."""
    values, (one, other) = ground.table.values, chosen
    want = int((seats[pool] == one).sum())
    _, inside, edges = subsets(len(pool), max(want, 1))
    inside = inside[:, edges[want] : edges[want + 1]].T
    groups = np.array([seats == one, seats == other], dtype=float)
    cost = _squares(groups, values, inside @ values[pool] - values[pool][seats[pool] == one].sum(axis=0))
    better = np.flatnonzero(cost < _squares(groups, values, np.zeros((1, values.shape[1])))[0] - SAME)
    better = better[np.argsort(cost[better], kind="stable")[:60]]
    both = np.repeat(groups[:, None, :], len(better), axis=1)
    both[0][:, pool], both[1][:, pool] = inside[better], 1.0 - inside[better]
    broken = ground.broken(both.reshape(-1, len(seats))).reshape(2, -1).sum(axis=0)
    seats = seats.copy()
    for row in inside[better[broken == 0]][:1]:
        seats[pool] = np.where(row > 0, one, other)
    return seats


def _squares(groups: Floats, values: Floats, moved: Floats) -> Floats:
    """Sum of squares of the two means after so much has moved from the other group to the one."""
    (one, other), sums = groups.sum(axis=1), groups @ values
    squares: Floats = (((sums[0] + moved) / one) ** 2 + ((sums[1] - moved) / other) ** 2).sum(axis=1)
    return squares
