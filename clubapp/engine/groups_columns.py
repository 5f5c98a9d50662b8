"""Every group that could stand in an answer better than the one in hand, as bit masks.

Rules on groups speak of one group at a time, so a set of children either can be a group or cannot. Few sets are close
enough to the mean of all to be worth anything, which makes an exact search possible.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb

import numpy as np

from clubapp.engine.groups_table import Flags, Floats, Ints, Table

MOST_CHILDREN = 60  # bits of a mask
MOST_SETS = 2_500_000  # sets looked at; about a second


@dataclass(frozen=True)
class Part:
    """Some of the children to be cut anew into some of the groups; the others stand.

    children: positions in the table, ascending. sizes: the size of each group, in the order of `groups`, which are
    group indices. standing: what the other groups already make of the score, see Columns.marks.
    """

    children: Ints
    groups: tuple[int, ...]
    sizes: tuple[int, ...]
    standing: Floats


@dataclass(frozen=True)
class Columns:
    """masks: bit i is the part's child i. sums: of the values, one row a group. sizes: children in each.

    marks: what a group adds to the score. EVEN: its means and their negatives, of which an answer takes the largest, so
    that their sum is the spread. LIKE: its sum of squares, of which an answer takes the sum.
    """

    masks: Ints
    sums: Floats
    marks: Floats
    sizes: Ints

    def only(self, keep: Flags) -> Columns:
        return Columns(self.masks[keep], self.sums[keep], self.marks[keep], self.sizes[keep])


def whole(table: Table, sizes: Sequence[int]) -> Part:
    """All children in all groups. The mean of all lies between the least and the largest group mean: it may stand."""
    wide = 2 * table.values.shape[1] if table.even else 1
    return Part(np.arange(len(table.ids)), tuple(range(len(sizes))), tuple(sizes), np.zeros(wide))


def too_many(part: Part) -> bool:
    """Whether there are more sets of children than can be looked at."""
    count = len(part.children)
    return count > MOST_CHILDREN or sum(comb(count, size) for size in range(max(part.sizes) + 1)) > MOST_SETS


def marks(table: Table, sums: Floats, squares: Floats, sizes: Ints) -> Floats:
    """See Columns.marks. squares: the sum of squares of the first value over each group."""
    if table.even:
        means = sums / sizes[:, None]
        return np.hstack([means, -means])
    inside: Floats = np.maximum(squares - sums[:, 0] ** 2 / sizes, 0.0)[:, None]
    return inside


def merged(table: Table, one: Floats, other: Floats) -> Floats:
    """The marks of two sets of groups together."""
    both: Floats = np.maximum(one, other) if table.even else one + other
    return both


def enumerate_columns(table: Table, part: Part, ceiling: float) -> Columns:
    """All sets of the part's children that keep every rule and could stand in an answer with a score under ceiling."""
    top = max(part.sizes)
    weights = _weights(table, part)
    clash = _bits(table.clash[np.ix_(part.children, part.children)])
    found: list[Columns] = []
    partial: list[list[tuple[Ints, Floats]]] = [[] for _ in range(top + 1)]
    partial[0] = [(np.zeros(1, dtype=np.int64), np.zeros((1, weights.shape[1])))]
    for atom in _atoms(table, part):
        own = sum(1 << at for at in atom)
        if any(int(clash[at]) & own for at in atom):
            continue
        against, weight = np.int64(np.bitwise_or.reduce(clash[list(atom)])), weights[list(atom)].sum(axis=0)
        for size in range(top - len(atom), -1, -1):
            if not partial[size]:
                continue
            partial[size] = [_joined(partial[size])]
            masks, sums = partial[size][0]
            free = (masks & against) == 0
            grown = (masks[free] | np.int64(own), sums[free] + weight)
            if size + len(atom) in part.sizes:
                found.append(_worth(table, part, grown, ceiling))
            if size + len(atom) < top:
                partial[size + len(atom)].append(grown)
    return _together(found, weights.shape[1] - 1, len(part.standing))


def _weights(table: Table, part: Part) -> Floats:
    values = table.values[part.children]
    return np.hstack([values, (values[:, :1] ** 2 if values.shape[1] else np.zeros((len(values), 1)))])


def _atoms(table: Table, part: Part) -> list[list[int]]:
    """The atoms of the part's children, as positions in the part."""
    place = {int(child): at for at, child in enumerate(part.children)}
    return [[place[child] for child in atom] for atom in table.atoms if atom[0] in place]


def _joined(pieces: list[tuple[Ints, Floats]]) -> tuple[Ints, Floats]:
    return np.concatenate([masks for masks, _ in pieces]), np.concatenate([sums for _, sums in pieces])


def _together(found: list[Columns], attributes: int, wide: int) -> Columns:
    none = Columns(np.zeros(0, np.int64), np.zeros((0, attributes)), np.zeros((0, wide)), np.zeros(0, np.int64))
    every = [none, *found]
    return Columns(
        np.concatenate([columns.masks for columns in every]),
        np.concatenate([columns.sums for columns in every]),
        np.concatenate([columns.marks for columns in every]),
        np.concatenate([columns.sizes for columns in every]),
    )


def _worth(table: Table, part: Part, grown: tuple[Ints, Floats], ceiling: float) -> Columns:
    """Those that are good enough and keep the rules."""
    masks, sums = grown
    sizes = np.bitwise_count(masks).astype(np.int64)
    made = Columns(masks, sums[:, :-1], marks(table, sums[:, :-1], sums[:, -1], sizes), sizes)
    made = made.only(least(table, part, made) < ceiling)
    return made.only(allowed(table, part, made))


def least(table: Table, part: Part, columns: Columns) -> Floats:
    """The least score an answer with this group can have: the children that remain have a mean, too."""
    together = merged(table, part.standing, columns.marks)
    if table.even:
        remain = len(part.children) - columns.sizes
        rest = (table.values[part.children].sum(axis=0) - columns.sums) / np.maximum(remain, 1)[:, None]
        some = remain > 0
        together[some] = np.maximum(together[some], np.hstack([rest, -rest])[some])
    scores: Floats = together.sum(axis=1)
    return scores


def _bits(flags: Flags) -> Ints:
    """Rows of flags as masks."""
    masks: Ints = flags.astype(np.int64) @ (np.int64(1) << np.arange(flags.shape[-1], dtype=np.int64))
    return masks


def allowed(table: Table, part: Part, columns: Columns) -> Flags:
    """Which sets keep the rules that speak of a whole group; pairs are looked after where sets are made."""
    masks, here = columns.masks, part.children
    keep: Flags = np.ones(len(masks), dtype=bool)
    for kind in table.kinds:
        keep &= np.bitwise_count(masks & _bits(kind[here])) != 1
    if table.new.any():
        keep &= (masks & ~_bits(table.new[here])) != 0
    near = _bits(table.near[np.ix_(here, here)])
    for at in np.flatnonzero(table.asks_near[here]):
        keep &= ((masks >> at) & 1 == 0) | (masks & near[at] != 0)
    return keep & _right_size(table, part, columns)


def _right_size(table: Table, part: Part, columns: Columns) -> Flags:
    """With sizes given, a group with a lock has its own group's size, and the others one of the sizes left."""
    if table.problem.sizes is None:
        return np.ones(len(columns.masks), dtype=bool)
    locked = table.locked[part.children]
    keep: Flags = np.zeros(len(columns.masks), dtype=bool)
    free = columns.masks & _bits(locked >= 0) == 0
    for group, size in zip(part.groups, part.sizes, strict=True):
        own = _bits(locked == group)
        keep |= ((columns.masks & own != 0) if own else free) & (columns.sizes == size)
    return keep
