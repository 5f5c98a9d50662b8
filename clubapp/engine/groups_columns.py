"""Every group that could stand in an answer better than the one in hand, as bit masks.

Rules on groups speak of one group at a time, so a set of children either can be a group or cannot. Few sets are close
enough to the mean of all to be worth anything, which makes an exact search possible.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import comb

import numpy as np

from clubapp.engine.groups_table import Flags, Floats, Ints, Table

SAME = 1e-10  # scores closer than this are one score
MOST_CHILDREN = 60  # bits of a mask
MOST_SETS = 11_000_000  # sets of children to choose groups from; most are passed over
MOST_KEPT = 300_000  # columns kept; more are a matter for a search
BATCH = 200_000  # pairs of subsets looked at together


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
    wide = 2 * table.values.shape[1] if table.spread else 1
    return Part(np.arange(len(table.ids)), tuple(range(len(sizes))), tuple(sizes), np.zeros(wide))


def too_many(part: Part) -> bool:
    """Whether there are more sets of children than can be looked at."""
    return len(part.children) > MOST_CHILDREN or choices(len(part.children), part.sizes) > MOST_SETS


def choices(children: int, sizes: Sequence[int]) -> int:
    """Sets of so many children that have one of these sizes."""
    return sum(comb(children, size) for size in set(sizes))


def marks(table: Table, sums: Floats, squares: Floats, sizes: Ints) -> Floats:
    """See Columns.marks. squares: the sum of squares of the first value over each group."""
    means = sums / sizes[:, None]
    if table.spread:
        return np.hstack([means, -means])
    inside: Floats = np.maximum(squares - sums[:, 0] ** 2 / sizes, 0.0)[:, None]
    return inside


def merged(table: Table, one: Floats, other: Floats) -> Floats:
    """The marks of two sets of groups together."""
    both: Floats = np.maximum(one, other) if table.spread else one + other
    return both


@dataclass(frozen=True)
class _Subsets:
    """Subsets of half the children, by size and then by the first value. against: children none of these may join."""

    masks: Ints
    sums: Floats
    against: Ints
    sizes: Ints

    def only(self, rows: Flags | Ints | slice) -> _Subsets:
        return _Subsets(self.masks[rows], self.sums[rows], self.against[rows], self.sizes[rows])

    def of(self, size: int) -> _Subsets:
        first, last = np.searchsorted(self.sizes, [size, size + 1])
        return self.only(slice(first, last))


def enumerate_columns(table: Table, part: Part, ceiling: float) -> Columns | None:
    """All sets of the part's children that keep every rule and could stand in an answer with a score under ceiling.

    Every set is a subset of one half of the children and one of the other (Horowitz and Sahni, 1974); the halves are
    sorted, so that only pairs are looked at whose first value comes out near enough to the mean. None: too many.
    """
    left, right = (_subsets(table, part, atoms) for atoms in _halves(table, part))
    found: list[Columns] = []
    kept = 0
    for size in sorted(set(part.sizes)):
        window = _window(table, part, ceiling, size)
        for taken in range(size + 1):
            one, other = left.of(taken), right.of(size - taken)
            for pairs in _pairs(one, other, window):
                found.append(_worth(table, part, ceiling, _joined(one, other, pairs)))
                kept += len(found[-1].masks)
                if kept > MOST_KEPT:
                    return None
    return _together(found, table.values.shape[1], len(part.standing))


def _halves(table: Table, part: Part) -> tuple[list[list[int]], list[list[int]]]:
    """The atoms in two lots with about as many children each."""
    halves: tuple[list[list[int]], list[list[int]]] = ([], [])
    for atom in _atoms(table, part):
        min(halves, key=lambda half: sum(len(other) for other in half)).append(atom)
    return halves


def _subsets(table: Table, part: Part, atoms: list[list[int]]) -> _Subsets:
    """All sets of these atoms no larger than a group and without a clash; every atom doubles their number."""
    clash = _bits(table.clash[np.ix_(part.children, part.children)])
    weights = _weights(table, part)
    zero = np.zeros(1, dtype=np.int64)
    made = _Subsets(zero, np.zeros((1, weights.shape[1])), zero, zero)
    for atom in atoms:
        own, against = np.int64(sum(1 << at for at in atom)), np.bitwise_or.reduce(clash[atom])
        fits = made.only((made.against & own == 0) & (against & own == 0) & (made.sizes + len(atom) <= max(part.sizes)))
        made = _Subsets(
            np.concatenate([made.masks, fits.masks | own]),
            np.concatenate([made.sums, fits.sums + weights[atom].sum(axis=0)]),
            np.concatenate([made.against, fits.against | against]),
            np.concatenate([made.sizes, fits.sizes + len(atom)]),
        )
    return made.only(np.lexsort((made.sums[:, 0], made.sizes)))


def _window(table: Table, part: Part, ceiling: float, size: int) -> tuple[float, float]:
    """Between which sums of the first value a group of this size must lie."""
    wide = len(part.standing) // 2
    room = max(0.0, ceiling - float(part.standing.sum()))
    if not (table.spread and wide):
        return -np.inf, np.inf
    return size * (-part.standing[wide] - room), size * (part.standing[0] + room)


def _pairs(one: _Subsets, other: _Subsets, window: tuple[float, float]) -> Iterator[tuple[Ints, Ints]]:
    """Rows of one and other whose first values add up to within the window, a batch at a time."""
    first = np.searchsorted(other.sums[:, 0], window[0] - one.sums[:, 0], side="left")
    last = np.searchsorted(other.sums[:, 0], window[1] - one.sums[:, 0], side="right")
    counts = np.maximum(last - first, 0)
    batches = np.cumsum(counts) // BATCH
    for batch in np.unique(batches):
        rows = np.flatnonzero(batches == batch)
        many = counts[rows]
        offset = np.repeat(first[rows] - np.cumsum(many) + many, many)
        yield np.repeat(rows, many), offset + np.arange(len(offset))


def _joined(one: _Subsets, other: _Subsets, pairs: tuple[Ints, Ints]) -> tuple[Ints, Floats]:
    """Masks and sums of the pairs without a clash."""
    rows, columns = pairs
    free = one.against[rows] & other.masks[columns] == 0
    rows, columns = rows[free], columns[free]
    return one.masks[rows] | other.masks[columns], one.sums[rows] + other.sums[columns]


def _weights(table: Table, part: Part) -> Floats:
    values = table.values[part.children]
    return np.hstack([values, (values[:, :1] ** 2 if values.shape[1] else np.zeros((len(values), 1)))])


def _atoms(table: Table, part: Part) -> list[list[int]]:
    """The atoms of the part's children, as positions in the part."""
    place = {int(child): at for at, child in enumerate(part.children)}
    return [[place[child] for child in atom] for atom in table.atoms if atom[0] in place]


def _together(found: list[Columns], attributes: int, wide: int) -> Columns:
    none = Columns(np.zeros(0, np.int64), np.zeros((0, attributes)), np.zeros((0, wide)), np.zeros(0, np.int64))
    every = [none, *found]
    return Columns(
        np.concatenate([columns.masks for columns in every]),
        np.concatenate([columns.sums for columns in every]),
        np.concatenate([columns.marks for columns in every]),
        np.concatenate([columns.sizes for columns in every]),
    )


def _worth(table: Table, part: Part, ceiling: float, grown: tuple[Ints, Floats]) -> Columns:
    """Those that are good enough and keep the rules."""
    masks, sums = grown
    sizes = np.bitwise_count(masks).astype(np.int64)
    made = Columns(masks, sums[:, :-1], marks(table, sums[:, :-1], sums[:, -1], sizes), sizes)
    made = made.only(least(table, part, made) < ceiling)
    return made.only(allowed(table, part, made))


def least(table: Table, part: Part, columns: Columns) -> Floats:
    """The least score an answer with this group can have: the children that remain have a mean, too."""
    together = merged(table, part.standing, columns.marks)
    if table.spread:
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
