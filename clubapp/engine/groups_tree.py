"""All ways to cover children by sets that share nobody (exact cover; Knuth, 2000). Sets are the bits of one number.

Each branch asks for the child with the fewest sets left, so that a child with none ends it at once.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from operator import sub

import numpy as np

from clubapp.engine.groups_boxes import Box
from clubapp.engine.groups_table import Flags, Floats

NODES_A_UNIT = 220_000  # nodes that one unit of work looks at
LOOSE = 1e-6  # what summing may change


@dataclass(frozen=True)
class Wood:
    """sets: sets × children. values: of the children. room: groups there may be of each size. box: means allowed."""

    sets: Flags
    values: Floats
    room: Counter[int]
    box: Box


class Tree:
    """most: nodes looked at."""

    def __init__(self, wood: Wood, most: float) -> None:
        sets, room = wood.sets, wood.room
        inside, sizes = sets.astype(np.float32), sets.sum(axis=1)
        self.nodes, self.most = 0, most
        self.children = frozenset(range(sets.shape[1]))
        self.free = bits(inside @ inside.T == 0)  # for each set those that share nobody with it
        self.having = bits(sets.T)  # for each child its sets
        self.members = [np.flatnonzero(row).tolist() for row in sets]
        self.sums: list[tuple[float, ...]] = [tuple(row) for row in (sets @ wood.values).tolist()]
        self.left: tuple[float, ...] = tuple(wood.values.sum(axis=0).tolist())  # the sum over the children
        means = sets @ wood.values / np.maximum(sizes, 1)[:, None]
        coarse = [at for at, column in enumerate(means.T) if 1 < len(np.unique(column.round(9))) <= 2 * len(room)]
        self.bounds = [(at, float(wood.box.low[at]), float(wood.box.high[at])) for at in coarse]
        self.sizes, self.room = sizes.tolist(), +room
        self.of_size = {size: bits((sizes == size)[None, :])[0] for size in self.room}
        self.all = sum(self.of_size.values())

    @property
    def whole(self) -> bool:
        """Whether everything was looked at, once it is over."""
        return self.nodes < self.most

    def cover(self) -> list[int] | None:
        """The first cover; None where there is none, or no time."""
        return self._cover(self.all, self.children, self.left)

    def _cover(self, alive: int, children: frozenset[int], left: tuple[float, ...]) -> list[int] | None:
        self.nodes += 1
        if not children:
            return []
        own = alive & self.having[self.rarest(alive, children)]
        while own and self.whole:
            at = own.bit_length() - 1
            own ^= 1 << at
            then = tuple(map(sub, left, self.sums[at]))
            if not self.balanced(then, len(children) - self.sizes[at]):
                continue
            self.room[self.sizes[at]] -= 1
            rest = self._cover(self.beside(at, alive), children.difference(self.members[at]), then)
            self.room[self.sizes[at]] += 1
            if rest is not None:
                return [at, *rest]
        return None

    def balanced(self, sums: tuple[float, ...], count: int) -> bool:
        """Whether the mean of so many children lies in the box: if not, no groups of them all do. Asked of values with
        two means in the box, of which there must be so many of each; of others it is too seldom an end.
        """
        return all(low * count - LOOSE <= sums[at] <= high * count + LOOSE for at, low, high in self.bounds)

    def beside(self, at: int, alive: int) -> int:
        """The sets that may stand beside this one, which has just been given room."""
        size = self.sizes[at]
        return alive & self.free[at] if self.room[size] else alive & self.free[at] & ~self.of_size[size]

    def rarest(self, alive: int, children: frozenset[int]) -> int:
        """The child with the fewest sets."""
        having, rarest, fewest = self.having, -1, len(self.free) + 1
        for child in children:
            many = (alive & having[child]).bit_count()
            if many < fewest:
                rarest, fewest = child, many
                if many < 2:
                    break
        return rarest


def bits(rows: Flags) -> list[int]:
    """Each row as one number."""
    return [int.from_bytes(row.tobytes(), "little") for row in np.packbits(rows, axis=1, bitorder="little")]
