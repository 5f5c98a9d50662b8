"""The proof for groups of a middling squad: all ways to put sets together whose means range less than the best so far.

Every branch knows how far the means of its groups range already; what is left of the score says how far those of the
next may lie, and the sets outside fall away. Thresholds are bits of one number, as sets are.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from clubapp.engine.groups_columns import SAME
from clubapp.engine.groups_tree import NODES_A_UNIT, Tree, Wood, bits
from clubapp.engine.limits import Allowance

ASKED = 256  # nodes looked at before asking whether there is time for more


class _Branch(NamedTuple):
    """score: the widths of low to high, the means so far. taken: the sets, the last of which is yet to be seated."""

    score: float
    taken: tuple[int, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]


class Ranges(Tree):
    """The box is the smallest that all groups can lie in. score: to be under. found: the sets of the best so far."""

    def __init__(self, wood: Wood, score: float, allowance: Allowance) -> None:
        super().__init__(wood, math.inf)
        means = wood.sets @ wood.values / wood.sets.sum(axis=1, keepdims=True)
        within, self.score, self.allowance = wood.box, score, allowance
        self.found: tuple[int, ...] | None = None
        self.trunk = _Branch(within.score, (), tuple(within.low.tolist()), tuple(within.high.tolist()))
        self.means = means.tolist()
        marks = [np.unique(column) for column in means.T]
        self.marks = [row.tolist() for row in marks]
        self.up_to = [[0, *bits(column <= row[:, None])] for column, row in zip(means.T, marks, strict=True)]
        self.from_on = [[*bits(column >= row[:, None]), 0] for column, row in zip(means.T, marks, strict=True)]

    def best(self) -> tuple[int, ...] | None:
        """The sets of the best cover under the score; None where there is none."""
        self._grow(self.trunk, self.all, self.children)
        return self.found

    def _grow(self, branch: _Branch, alive: int, children: frozenset[int]) -> None:
        self._count()
        if not children:
            self.score, self.found = branch.score, branch.taken
            return
        alive = self._near(branch, alive)
        own = alive & self.having[self.rarest(alive, children)]
        for twig in sorted(self._twigs(branch, own)):
            if twig.score >= self.score - SAME or not self.whole:
                return
            at = twig.taken[-1]
            self.room[self.sizes[at]] -= 1
            self._grow(twig, self.beside(at, alive), children.difference(self.members[at]))
            self.room[self.sizes[at]] += 1

    def _count(self) -> None:
        self.nodes += 1
        if self.nodes % ASKED == 0:
            self.allowance.spend(ASKED / NODES_A_UNIT)
            self.most = math.inf if self.allowance.left else self.nodes

    def _near(self, branch: _Branch, alive: int) -> int:
        """The sets that can still stand in a better answer."""
        left = self.score - branch.score
        for at, (low, high) in enumerate(zip(branch.low, branch.high, strict=True)):
            alive &= self.up_to[at][bisect_right(self.marks[at], high + left)]
            alive &= self.from_on[at][bisect_left(self.marks[at], low - left)]
        return alive

    def _twigs(self, branch: _Branch, own: int) -> Iterator[_Branch]:
        while own:
            at = own.bit_length() - 1
            own ^= 1 << at
            low = tuple(map(min, branch.low, self.means[at]))
            high = tuple(map(max, branch.high, self.means[at]))
            yield _Branch(sum(high) - sum(low), (*branch.taken, at), low, high)
