"""Groups of a large squad put together from all sets that lie in a narrow box: then the score is the box's at most.

Some sets are taken by lot, for the children with the fewest sets first, until a tree can look at all that remain. With
a cover found the box becomes narrower, until the tree finds nothing more, which for a middling squad can be proven.
"""

from __future__ import annotations

from collections import Counter
from functools import cached_property

import numpy as np

from clubapp.engine.groups_boxes import Box, Lattice, boxes, can_be_listed, lattice, price, sets_in
from clubapp.engine.groups_columns import SAME, whole
from clubapp.engine.groups_ground import Ground, group_marks, total
from clubapp.engine.groups_ranges import Ranges
from clubapp.engine.groups_search import seated
from clubapp.engine.groups_table import Flags, Floats, Ints
from clubapp.engine.groups_tree import NODES_A_UNIT, Tree, Wood
from clubapp.engine.limits import Allowance

MOST_SETS, FEW_SETS = 100_000, 40_000  # listed at once, and tried first, as expected before rules are asked
IN_A_TREE, NODES = 600, 8_000  # sets of a tree, and its nodes before others are taken by lot
TRY = 1_000  # nodes that a try is reckoned as, besides those of its tree
AMONG = 20  # sets by lot, of which the one is taken that leaves the mean of the rest nearest to 0
IN_VAIN = 0.3  # work without a first cover, after which more sets are tried, or there is none to be hoped for
STRAY = 0.25  # how far by lot the order in which children get sets strays from rarest first
MIXED = 60  # children of whom groups of several sizes are put together so; of more none are found in time
LISTINGS = 4  # there must be time for so many
LISTED_FOR_PROOF, IN_A_PROOF = 150_000, 6_000  # sets expected, and those of them that are worth anything


class Cover:
    """seats: the best so far, which keep the rules. score: theirs. enough: no better score than this is sought.

    sizes: how many groups of each size there are.
    """

    def __init__(
        self, ground: Ground, seats: Ints, lot: np.random.Generator, allowance: Allowance, enough: float = 0.0
    ) -> None:
        self.ground, self.seats, self.lot, self.allowance, self.enough = ground, seats, lot, allowance, enough
        self.values = ground.table.values
        self.part = whole(ground.table, np.bincount(seats, minlength=ground.table.problem.groups).tolist())
        self.sizes = Counter(self.part.sizes)
        self.score = total(ground.table, group_marks(ground.table, seats))

    @cached_property
    def lattices(self) -> list[Lattice]:
        """Of each size, that of most groups first."""
        return [lattice(self.ground.table, size) for size, _ in self.sizes.most_common()]

    def done(self) -> bool:
        """Better seats, if they can be had in this way. Whether they are proven to be the best."""
        count = len(self.seats)
        simple = len(self.sizes) == 1 or count <= MIXED
        possible = (
            simple
            and can_be_listed(count, self.sizes)
            and LISTINGS * price(count, max(self.sizes)) < self.allowance.rest
        )
        return possible and self.narrowed() and self.proven()

    def narrowed(self) -> bool:
        """Better seats, as long as there is time. Whether trees have looked at everything in the last box."""
        path = boxes(self.lattices, self.score, MOST_SETS)
        if not path:
            return True
        sets = self._listed(path[-1])
        few = [box for box in path if sum(means.sets(box) for means in self.lattices) <= FEW_SETS]
        before = self.score
        over = bool(few) and self._descended(sets, few)
        return (over and self.score < before) or self._descended(sets, path)

    def _descended(self, sets: Flags, path: list[Box]) -> bool:
        """Better seats from narrower and narrower boxes. Whether trees have seen everything in the last of them."""
        found, began = False, self.allowance.spent
        path, sets = self._under(sets, path)
        while path and self.score > self.enough and self.allowance.left:
            cover, seen = self._tried(sets, path[-1])
            if cover is not None:
                self._seat(cover)
                found, (path, sets) = True, self._under(sets, path)
            elif seen or (not found and self.allowance.spent - began >= IN_VAIN):
                return seen
        return not path

    def _under(self, sets: Flags, path: list[Box]) -> tuple[list[Box], Flags]:
        """The boxes that would make the score smaller, and the sets in the widest of them."""
        path = [box for box in path if box.score < self.score - SAME]
        return path, sets[path[-1].holds(self._means(sets))] if path else sets

    def proven(self) -> bool:
        """The best seats there are, and whether that could be proven."""
        within = Box(
            np.max([means.least.low for means in self.lattices], axis=0),
            np.min([means.least.high for means in self.lattices], axis=0),
        )
        room = self.score - within.score
        if room < SAME:
            return True
        box = Box(within.low - room, within.high + room)
        if sum(means.sets(box) for means in self.lattices) > LISTED_FOR_PROOF:
            return False
        sets = self._listed(box)
        means = self._means(sets)
        low, high = np.minimum(means, within.low), np.maximum(means, within.high)
        worth = np.flatnonzero((high - low).sum(axis=1) < self.score - SAME)
        if len(worth) > IN_A_PROOF:
            return False
        tree = Ranges(Wood(sets[worth], self.values, self.sizes, within), self.score, self.allowance)
        found = tree.best()
        if found is not None:
            self._seat(sets[worth[list(found)]])
        return tree.whole

    def _listed(self, box: Box) -> Flags:
        return np.concatenate([sets_in(self.ground, size, box, self.allowance) for size in self.sizes])

    def _means(self, sets: Flags) -> Floats:
        means: Floats = sets @ self.values / np.maximum(sets.sum(axis=1, keepdims=True), 1)
        return means

    def _seat(self, cover: Flags) -> None:
        groups = [np.flatnonzero(row) for row in cover]
        self.seats = seated(self.ground.table, self.part, groups, self.seats)
        self.score = total(self.ground.table, group_marks(self.ground.table, self.seats))
        self.allowance.reached(self.score)

    def _tried(self, sets: Flags, box: Box) -> tuple[Flags | None, bool]:
        """A cover, or none; and whether everything there is was looked at."""
        taken, alive, room = self._by_lot(sets, box)
        left = ~sets[taken].any(axis=0)
        tree = Tree(Wood(sets[alive][:, left], self.values[left], room, box), NODES)
        rest = tree.cover()
        self.allowance.spend((TRY + tree.nodes) / NODES_A_UNIT)
        return (None, not taken and tree.whole) if rest is None else (sets[[*taken, *alive[rest]]], False)

    def _by_lot(self, sets: Flags, box: Box) -> tuple[list[int], Ints, Counter[int]]:
        """Sets that share nobody, those that may stand beside them, no more than a tree holds, and the room left."""
        rare = sets.sum(axis=0) * (1 + STRAY * self.lot.random(sets.shape[1]))
        left, sums = 0.0, sets @ self.values
        wide = np.maximum(box.widths, SAME)
        taken, alive, room = list[int](), self.lot.permutation(len(sets)), self.sizes.copy()
        for child in np.argsort(rare, kind="stable"):
            if len(alive) <= IN_A_TREE:
                break
            own = alive[sets[alive, child]][:AMONG]
            if len(own):
                far = np.abs((left - sums[own]) / wide).sum(axis=1)
                own = int(own[far.argmin()])
                left = left - sums[own]
                taken.append(own)
                room[int(sets[own].sum())] -= 1
                alive = alive[~(sets[alive] & sets[own]).any(axis=1)]
        sizes = sets[alive].sum(axis=1)
        return taken, alive[np.array([room[int(size)] > 0 for size in sizes], dtype=bool)], room
