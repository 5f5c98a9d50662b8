"""Large squads by search: a few groups at a time give up children, who are dealt to them anew in the best way.

Every set of the children given up that could stand in one of those groups is a column, found by halves (Horowitz and
Sahni, 1974); columns that share nobody are put together for half of the groups and for the other half, and the halves
are matched. Small enough to be done a thousand times a second or so, which is what large squads need.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np

from clubapp.engine.groups_columns import SAME
from clubapp.engine.groups_exact import PAIRS_A_UNIT
from clubapp.engine.groups_ground import Ground, group_marks
from clubapp.engine.groups_table import Floats, Ints
from clubapp.engine.limits import Allowance

SET_UP = 20_000  # work of a deal, in pairs, that does not depend on its size
SEATS = 3  # of a pool, in groups whose rules are looked at, as much work as a pair
PAIRS = 150_000  # pairs of subsets looked at for one group
SHARES = (1.0, 0.5, 0.2, 0.0)  # of the room that groups may take, tried until there are no more pairs than that
COLUMNS = {1: 2000, 2: 600, 3: 200}  # kept for one group, the least far off, by how many groups make a half
HALVES = 200_000  # ways to fill half of the groups


@lru_cache(maxsize=64)
def subsets(count: int, most: int) -> tuple[Ints, Floats, Ints]:
    """Masks of all sets of at most `most` of `count` things by size, who is in them (a row a thing), where each size
    begins.
    """
    masks = np.arange(1 << count, dtype=np.int64)
    sizes = np.bitwise_count(masks).astype(np.int64)
    order = np.argsort(sizes, kind="stable")[: int((sizes <= most).sum())]
    inside = (masks[order][None, :] >> np.arange(count)[:, None] & 1).astype(float)
    return masks[order], inside, np.searchsorted(sizes[order], np.arange(most + 2))


@dataclass(frozen=True)
class Deal:
    """ground: of a table whose score is the spread. seats: of all children. chosen: group indices. pool: who is dealt
    anew, some of the children of the chosen groups.
    """

    ground: Ground
    seats: Ints
    chosen: tuple[int, ...]
    pool: Ints

    @cached_property
    def values(self) -> Floats:
        return self.ground.table.values

    @cached_property
    def kept(self) -> Floats:
        """Chosen groups × children of 0 and 1: who stays."""
        stays: Floats = (self.seats[None, :] == np.array(self.chosen)[:, None]).astype(float)
        stays[:, self.pool] = 0.0
        return stays

    @cached_property
    def wants(self) -> list[int]:
        """How many children each chosen group takes from the pool."""
        return [int((self.seats[self.pool] == group).sum()) for group in self.chosen]

    @cached_property
    def standing(self) -> Floats:
        """What the other groups make of the score: the largest means and the largest negatives, the mean of all, 0."""
        own = group_marks(self.ground.table, self.seats)
        rest = np.delete(own, list(self.chosen), axis=0)
        marks: Floats = np.vstack([rest, np.zeros((1, own.shape[1]))]).max(axis=0)
        return marks

    @cached_property
    def ceiling(self) -> float:
        """The score as it is."""
        return float(group_marks(self.ground.table, self.seats).max(axis=0).sum())

    @property
    def room(self) -> float:
        """How much of the score the chosen groups make; none: dealing anew cannot make it smaller."""
        return self.ceiling - float(self.standing.sum())

    @cached_property
    def kinds(self) -> list[int]:
        """For every chosen group the place of the first that takes the same columns: it gives up everybody and is of
        the same size.
        """
        first: dict[tuple[int, int], int] = {}
        who = enumerate(zip(self.wants, self.kept, strict=True))
        return [first.setdefault((want, at if stays.any() else -1), at) for at, (want, stays) in who]

    @property
    def alike(self) -> bool:
        """Whether all chosen groups take the same columns."""
        return not any(self.kinds)


@dataclass(frozen=True)
class _Columns:
    """masks: bit i is the pool's child i. means: of the whole group, children kept included."""

    masks: Ints
    means: Floats


@dataclass(frozen=True)
class _Filled:
    """Ways to fill some groups, one a row: children used, largest and least means, the column of each group."""

    used: Ints
    high: Floats
    low: Floats
    taken: Ints

    def under(self, deal: Deal) -> _Filled:
        """Those that are not yet as uneven as what there was."""
        wide = self.high.shape[1]
        spread = np.maximum(self.high, deal.standing[:wide]) - np.minimum(self.low, -deal.standing[wide:])
        keep = np.flatnonzero(spread.sum(axis=1) < deal.ceiling - SAME)
        return _Filled(self.used[keep], self.high[keep], self.low[keep], self.taken[keep])


def dealt_anew(deal: Deal, allowance: Allowance) -> Ints | None:
    """Seats with a smaller spread; None where none was found."""
    if deal.room < SAME:
        return None
    halves, made = _Halves(deal, allowance), list[_Columns]()
    for at, first in enumerate(deal.kinds):
        made.append(made[first] if first < at else halves.columns(at))
        if not len(made[at].masks):
            return None
    middle = len(deal.chosen) // 2
    one = _filled(deal, made, range(middle), allowance)
    other = _filled(deal, made, range(middle, len(deal.chosen)), allowance)
    return None if one is None or other is None else _matched(deal, made, one, other)


class _Halves:
    """All subsets of each half of the pool with the sums of their values, those of one half in order."""

    def __init__(self, deal: Deal, allowance: Allowance) -> None:
        self.deal, self.allowance, values = deal, allowance, deal.values[deal.pool]
        half, most = len(deal.pool) // 2, max(deal.wants)
        self.one, self.other = subsets(half, most), subsets(len(deal.pool) - half, most)
        wide = values.shape[1]
        self.upper, self.lower = deal.standing[:wide], -deal.standing[wide:]
        spare = self.upper - self.lower + 2 * deal.room + deal.ground.steps / max(deal.wants)
        # First the value of which fewest sums fit; a window without width still holds a whole step of stars.
        self.first = int(np.argmin(spare / np.maximum(deal.values.std(axis=0), SAME)))
        self.one_sums, self.other_sums = values[:half].T @ self.one[1], values[half:].T @ self.other[1]
        row, edges = self.other_sums[self.first], self.other[2]
        self.order = np.concatenate([begin + np.argsort(row[begin:end]) for begin, end in pairwise(edges)])
        self.in_order = row[self.order]
        allowance.spend((7 * (len(self.one[0]) + len(row)) + SET_UP) / PAIRS_A_UNIT)

    def columns(self, at: int) -> _Columns:
        """The sets that could stand in a chosen group, the least far off, that keep the rules."""
        kept, want = self.deal.kept[at], self.deal.wants[at]
        size, stays = want + float(kept.sum()), kept @ self.deal.values
        for share in SHARES:
            room = share * self.deal.room
            low, high = size * (self.lower - room) - stays, size * (self.upper + room) - stays
            spans = self._spans(want, float(low[self.first]), float(high[self.first]))
            if sum(int(many.sum()) for _, _, many in spans) <= PAIRS:
                break
        else:
            return _Columns(np.zeros(0, np.int64), np.zeros((0, len(self.upper))))
        left, right = self._within(_paired(spans, self.order), low, high)
        sums = (self.one_sums[:, left] + self.other_sums[:, right]).T
        return self._worth(_Columns(self._masks(left, right), (sums + stays) / size), kept, room)

    def _within(self, pairs: tuple[Ints, Ints], low: Floats, high: Floats) -> tuple[Ints, Ints]:
        """Pairs whose other sums are as they must be, too; one value at a time, as most pairs fall out at once."""
        left, right = pairs
        self.allowance.spend((len(left) + SET_UP) / PAIRS_A_UNIT)
        for at in range(len(low)):
            if at != self.first:
                sums = self.one_sums[at, left] + self.other_sums[at, right]
                keep = np.flatnonzero((sums >= low[at]) & (sums <= high[at]))
                left, right = left[keep], right[keep]
        return left, right

    def _masks(self, left: Ints, right: Ints) -> Ints:
        masks: Ints = self.one[0][left] | (self.other[0][right] << (len(self.deal.pool) // 2))
        return masks

    def _spans(self, want: int, low: float, high: float) -> list[tuple[int, Ints, Ints]]:
        """For every share of the first half: where its subsets begin, and from where how many of the others fit."""
        found: list[tuple[int, Ints, Ints]] = []
        for taken in range(want + 1):
            begin, end = self.one[2][taken], self.one[2][taken + 1]
            start, stop = self.other[2][want - taken], self.other[2][want - taken + 1]
            own, row = self.one_sums[self.first, begin:end], self.in_order[start:stop]
            first = np.searchsorted(row, low - own, side="left")
            many = np.searchsorted(row, high - own, side="right") - first
            found.append((int(begin), first + start, np.maximum(many, 0)))
        return found

    def _worth(self, columns: _Columns, kept: Floats, room: float) -> _Columns:
        """Those that leave a chance of a smaller score and keep every rule, the least far off if there are many."""
        most = COLUMNS[(len(self.deal.chosen) + 1) // 2]
        marks = np.maximum(np.hstack([columns.means, -columns.means]), self.deal.standing).sum(axis=1)
        good = np.flatnonzero(marks < self.deal.standing.sum() + room + SAME)
        good = good[np.argsort(marks[good], kind="stable")[: 2 * most]]
        more = (columns.masks[good][:, None] >> np.arange(len(self.deal.pool)) & 1).astype(float)
        self.allowance.spend(more.size / SEATS / PAIRS_A_UNIT)
        good = good[self.deal.ground.broken_with(kept, self.deal.pool, more) == 0][:most]
        return _Columns(columns.masks[good], columns.means[good])


def _paired(spans: Sequence[tuple[int, Ints, Ints]], order: Ints) -> tuple[Ints, Ints]:
    """Rows of the one half and of the other, pair by pair."""
    left = [np.repeat(begin + np.arange(len(many)), many) for begin, _, many in spans]
    right = [_runs(first, many) for _, first, many in spans]
    return np.concatenate(left), order[np.concatenate(right)]


def _runs(first: Ints, many: Ints) -> Ints:
    """first[0], first[0] + 1, … (many[0] of them), first[1], …"""
    ends = np.cumsum(many)
    return np.arange(int(many.sum())) + np.repeat(first - ends + many, many)


def _filled(deal: Deal, made: list[_Columns], groups: range, allowance: Allowance) -> _Filled | None:
    """All ways to fill these of the chosen groups; None where there are none or too many."""
    columns, with_first = made[groups[0]], deal.alike and not groups[0]
    # Of groups that are alike, the one with the pool's first child may be said to be in the first half.
    rows = np.flatnonzero(columns.masks & 1) if with_first else np.arange(len(columns.masks))
    found = _Filled(columns.masks[rows], columns.means[rows], columns.means[rows], rows[:, None])
    for at in groups[1:]:
        columns = made[at]
        allowance.spend(len(found.used) * len(columns.masks) / 4 / PAIRS_A_UNIT)
        row, column = np.nonzero(found.used[:, None] & columns.masks[None, :] == 0)
        if columns is made[at - 1] and not with_first:  # in one order only
            rising = column > found.taken[row, -1]
            row, column = row[rising], column[rising]
        if not 0 < len(row) <= HALVES:
            return None
        found = _Filled(
            found.used[row] | columns.masks[column],
            np.maximum(found.high[row], columns.means[column]),
            np.minimum(found.low[row], columns.means[column]),
            np.hstack([found.taken[row], column[:, None]]),
        ).under(deal)
    return found


def _matched(deal: Deal, made: list[_Columns], one: _Filled, other: _Filled) -> Ints | None:
    """The best of all pairs that use the pool up, as seats; None where none is better than what there was."""
    order = np.argsort(other.used)
    in_order, want = other.used[order], ((1 << len(deal.pool)) - 1) ^ one.used
    first = np.searchsorted(in_order, want, side="left")
    many = np.searchsorted(in_order, want, side="right") - first
    left, right = np.repeat(np.arange(len(want)), many), order[_runs(first, many)]
    if not len(left):
        return None
    wide = one.high.shape[1]
    high = np.maximum(np.maximum(one.high[left], other.high[right]), deal.standing[:wide])
    low = np.minimum(np.minimum(one.low[left], other.low[right]), -deal.standing[wide:])
    scores = (high - low).sum(axis=1)
    best = int(np.argmin(scores))
    if scores[best] > deal.ceiling - SAME:
        return None
    seats = deal.seats.copy()
    for at, column in enumerate([*one.taken[left[best]], *other.taken[right[best]]]):
        bits = made[at].masks[column] >> np.arange(len(deal.pool)) & 1
        seats[deal.pool[bits.astype(bool)]] = deal.chosen[at]
    return seats
