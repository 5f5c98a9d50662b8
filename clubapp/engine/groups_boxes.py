"""Narrow boxes round the mean of all, and every set of children whose means lie in one.

A box allows each attribute a least and a largest group mean; groups that all lie in it have a score of at most the sum
of its widths. Boxes grow step by step, by what holds most sets for its width: whole numbers fall on a lattice, and one
step more may hold many sets or none. A set is its first children and its last ones; the last are sorted by one
attribute and told apart by another that has few sums (Horowitz and Sahni, 1974). No set comes twice.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from clubapp.engine import fairness
from clubapp.engine.groups_bound import exactly
from clubapp.engine.groups_columns import SAME
from clubapp.engine.groups_exact import PAIRS_A_UNIT
from clubapp.engine.groups_ground import Ground
from clubapp.engine.groups_table import Flags, Floats, Ints, Table
from clubapp.engine.limits import Allowance

MOST_PARTS = 500_000  # first or last children of sets; so many can be sorted
FINEST = 1e-4  # boxes grow by no less
GROWTH = 0.1  # of its width is what a box grows by
TILT, HALVINGS, ENOUGH = 40.0, 25, 64  # of the search for ways; values looked at
BLOCK = 8  # children with whom first parts end that are looked at together
DIGITS, ROUNDED = 9, 1e-8  # in which sums are told apart, and what they may be off
SORTED, LISTED, BEGUN = 60, 7, 20_000  # work of a part that is sorted, and of a set that is looked at, in pairs


@dataclass(frozen=True)
class Box:
    """low ≤ 0 ≤ high: the group means allowed, as distances from the mean of all."""

    low: Floats
    high: Floats

    @property
    def widths(self) -> Floats:
        widths: Floats = self.high - self.low
        return widths

    @property
    def score(self) -> float:
        return float(self.widths.sum())

    def holds(self, means: Floats) -> Flags:
        """Rows of means that lie in it."""
        inside: Flags = np.all((means >= self.low - SAME) & (means <= self.high + SAME), axis=1)
        return inside


@dataclass(frozen=True)
class Lattice:
    """Where the means of groups of a size can lie. steps: how far apart, for each value; above: the least not below 0.

    crowd: sets for each unit of the product of widths, as if means were spread normally.
    """

    steps: Floats
    above: Floats
    crowd: float

    @property
    def least(self) -> Box:
        """The nearest to 0 on both sides, or 0 itself."""
        apart = self.above > SAME
        return Box(np.where(apart, self.above - self.steps, 0.0), np.where(apart, self.above, 0.0))

    def sets(self, box: Box) -> float:
        """About how many sets lie in a box."""
        return self.crowd * float(np.prod(box.widths + np.maximum(self.steps, FINEST)))


def lattice(table: Table, size: int) -> Lattice:
    """The lattice of the balanced values as they were written down."""
    problem, found = table.problem, list[tuple[float, float]]()
    for attribute in problem.balance:
        sd = fairness.deviation(fairness.filled(problem.athletes, problem.on, attribute.name).values)
        if sd and attribute.weight:
            values = exactly(problem, attribute.name)
            finest = math.lcm(*(value.denominator for value in values))
            step = math.gcd(*(int((value - values[0]) * finest) for value in values))
            over = (sum(values) / len(values) - values[0]) * size * finest % step
            unit = attribute.weight / sd / size / finest
            found.append((step * unit, float(-over % step) * unit))
    steps, above = np.array(found).T
    count = len(table.ids)
    spread = np.atleast_2d(np.cov(table.values.T)) / size * (count - size) / count
    dense = 1 / math.sqrt(max(float(np.linalg.det(2 * math.pi * spread)), SAME))
    return Lattice(steps, above, math.comb(count, size) * dense)


def boxes(means: Sequence[Lattice], score: float, sets: float) -> list[Box]:
    """Boxes from the smallest that groups fill, each holding the one before, with scores under one and about so many
    sets at most. means: of each size, that of most groups first.
    """
    least = [one.least for one in means]
    found = [Box(np.min([box.low for box in least], axis=0), np.max([box.high for box in least], axis=0))]
    ways = _ways(found[0], means[0].steps)
    while found[-1].score < score - SAME and sum(one.sets(found[-1]) for one in means) <= sets:
        wider = list(_wider(found[-1], means[0].steps))
        more = [_ways(box, means[0].steps) for box in wider]
        at = max(range(len(wider)), key=lambda at: (more[at] - ways) / (wider[at].score - found[-1].score))
        found, ways = [*found, wider[at]], more[at]
    return found[:-1]


def _wider(box: Box, steps: Floats) -> Iterator[Box]:
    """A box a little wider, on one side or on both: from 0 one side alone leads nowhere, as means come out at 0."""
    for at, step in enumerate(_units(steps)):
        step *= max(1.0, GROWTH * float(box.widths[at]) // step)
        for sides in ((step, 0.0), (0.0, step), (step, step)):
            low, high = box.low.copy(), box.high.copy()
            low[at], high[at] = low[at] - sides[0], high[at] + sides[1]
            yield Box(low, high)


def _units(steps: Floats) -> list[float]:
    """What a box grows by at least: steps, several where they are very fine."""
    return [float(step * np.ceil(FINEST / step)) if step > SAME else FINEST for step in steps]


def _ways(box: Box, steps: Floats) -> float:
    """How many ways a group has to lie in a box, as a logarithm, if the mean of all groups is to come out at 0."""
    sides = zip(box.low.tolist(), box.high.tolist(), _units(steps), strict=True)
    return sum(_ways_between(low, high, round((high - low) / unit) + 1) for low, high, unit in sides)


@lru_cache(maxsize=1024)
def _ways_between(low: float, high: float, count: int) -> float:
    """The same for one value that may be any of so many: least of log Σ exp(tilt · value) over all tilts."""
    if high <= low:
        return 0.0
    values = np.linspace(low, high, min(count, ENOUGH)) / (high - low)
    least, most = -TILT, TILT
    for _ in range(HALVINGS):
        tilt = (least + most) / 2
        least, most = (least, tilt) if float((values * np.exp(tilt * values)).sum()) > 0 else (tilt, most)
    return math.log(count) + math.log(float(np.exp(tilt * values).mean()))


def can_be_listed(children: int, sizes: Collection[int]) -> bool:
    return all(math.comb(children, size - size // 2) <= MOST_PARTS for size in sizes) and min(sizes) > 1


def price(children: int, size: int) -> float:
    """Work of listing sets of a size, whatever the box."""
    return (SORTED * math.comb(children, size - size // 2) + BEGUN * children) / PAIRS_A_UNIT


def sets_in(ground: Ground, size: int, box: Box, allowance: Allowance) -> Flags:
    """Sets × children: all sets of a size in the box that keep the rules."""
    count, pairs = len(ground.table.ids), _Pairs(ground.table.values, size, box)
    found = [np.zeros((0, count), dtype=bool)]
    for start in range(size // 2 - 1, count - 1, BLOCK):
        children = pairs.after(start, start + BLOCK)
        sets = np.zeros((len(children), count), dtype=bool)
        np.put_along_axis(sets, children, True, axis=1)
        found.append(sets[ground.broken(sets.astype(float)) == 0])
    allowance.spend(price(count, size) + LISTED * pairs.seen / PAIRS_A_UNIT)
    return np.concatenate(found)


class _Pairs:
    """First and last children of sets. The last ones are in order of a key: the value with the fewest sums, and among
    those equal in it the one of which the box leaves least.
    """

    def __init__(self, values: Floats, size: int, box: Box) -> None:
        self.first, last = _parts(len(values), size // 2), _parts(len(values), size - size // 2)
        self.first_sums, last_sums = values[self.first].sum(axis=1), values[last].sum(axis=1)
        self.low, self.high, self.seen = size * box.low - SAME, size * box.high + SAME, 0
        levels = [np.unique(column.round(DIGITS)) for column in last_sums.T]
        few = int(np.argmin([len(level) for level in levels]))
        left = (box.widths + FINEST) / np.maximum(values.std(axis=0), SAME)
        left[few] = np.inf if len(left) > 1 else left[few]
        self.by, level = int(np.argmin(left)), np.searchsorted(levels[few], last_sums[:, few].round(DIGITS))
        self.span = 4 * size * float(np.abs(values[:, self.by]).max()) + 1
        key = level * self.span + last_sums[:, self.by]
        order = np.argsort(key, kind="stable")
        self.last, self.last_sums, self.key = last[order], last_sums[order], key[order]
        sums, self.which = np.unique(self.first_sums[:, few].round(DIGITS), return_inverse=True)
        both = sums[:, None] + levels[few][None, :]
        inside = (both >= self.low[few] - ROUNDED) & (both <= self.high[few] + ROUNDED)
        self.levels = [np.flatnonzero(row) for row in inside]
        self.others = [at for at in range(len(left)) if at not in (few, self.by)]

    def after(self, start: int, stop: int) -> Ints:
        """Children of the sets whose first children end with one from start to stop; to be asked in ascending order."""
        keep = self.last[:, 0] > start
        self.last, self.last_sums, self.key = self.last[keep], self.last_sums[keep], self.key[keep]
        rows = np.flatnonzero((self.first[:, -1] >= start) & (self.first[:, -1] < stop))
        many = np.array([len(self.levels[which]) for which in self.which[rows]])
        level = np.concatenate([self.levels[which] for which in self.which[rows]]) * self.span
        rows = np.repeat(rows, many)
        level -= self.first_sums[rows, self.by]
        begin = np.searchsorted(self.key, level + self.low[self.by], side="left")
        many = np.searchsorted(self.key, level + self.high[self.by], side="right") - begin
        one, other = np.repeat(rows, many), runs(begin, many)
        self.seen += len(one)
        fits = np.flatnonzero(self.first[one, -1] < self.last[other, 0])
        one, other = one[fits], other[fits]
        for at in self.others:
            sums = self.first_sums[one, at] + self.last_sums[other, at]
            fits = np.flatnonzero((sums >= self.low[at]) & (sums <= self.high[at]))
            one, other = one[fits], other[fits]
        return np.hstack([self.first[one], self.last[other]])


def runs(first: Ints, many: Ints) -> Ints:
    """first[0], first[0] + 1, … (many[0] of them), first[1], …"""
    ends = np.cumsum(many)
    return np.arange(int(many.sum())) + np.repeat(first - ends + many, many)


def _parts(count: int, size: int) -> Ints:
    """All sets of so many of the children, one a row, ascending."""
    parts = np.arange(count)[:, None]
    for _ in range(size - 1):
        many = count - 1 - parts[:, -1]
        parts = np.hstack([np.repeat(parts, many, axis=0), runs(parts[:, -1] + 1, many)[:, None]])
    return parts
