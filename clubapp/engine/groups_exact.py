"""The proof: all ways to put together groups from the columns, cutting off what cannot beat the answer in hand."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from clubapp.engine.groups_columns import SAME, Columns, Part, enumerate_columns, least, merged
from clubapp.engine.groups_prices import priced
from clubapp.engine.groups_problem import Mode
from clubapp.engine.groups_table import Flags, Floats, Ints, Table
from clubapp.engine.limits import Allowance

PAIRS_A_UNIT = 6e7  # pairs of a half-made answer and a column that one unit of work looks at
BATCH = 400_000  # pairs looked at together
MOST_TIED = 20_000  # columns looked through for better company
LEVELS = (0.1, 0.2, 0.35, 0.6, 1.0)  # of the way from the least score thinkable to the answer in hand
DIGIT = 6  # bits that count the groups of one size


@dataclass(frozen=True)
class Found:
    """groups: children of the best answer under the ceiling, None if there is none. bound: no answer is under it."""

    groups: tuple[Ints, ...] | None
    score: float
    bound: float


@dataclass
class _Half:
    """Answers half made, one a row: children used, marks, sums, sizes used, cost of company, columns taken."""

    used: Ints
    marks: Floats
    sums: Floats
    sizes: Ints
    company: Floats
    taken: Ints

    def only(self, keep: Flags) -> _Half:
        return _Half(*(rows[keep] for rows in vars(self).values()))


class _Search:
    """One search for the best answer with a score under the ceiling."""

    def __init__(self, table: Table, part: Part, columns: Columns) -> None:
        self.table, self.part, self.columns = table, part, columns
        self.full = (1 << len(part.children)) - 1
        self.total = table.values[part.children].sum(axis=0)
        lowest = columns.masks & -columns.masks
        self.starting = [np.flatnonzero(lowest == 1 << at) for at in range(len(part.children))]
        self.sorted = np.argsort(columns.masks, kind="stable")
        kinds, place = np.unique(columns.sizes, return_inverse=True)
        self.codes = np.int64(1) << (DIGIT * place.astype(np.int64))
        self.room = [part.sizes.count(int(size)) for size in kinds]
        self.company = _company(table, part, columns)

    def run(self, ceiling: float, allowance: Allowance, ties: bool = False) -> tuple[Ints | None, float, bool]:
        """The best columns under the ceiling, their score, and whether everything was looked at.

        ties: of those with the same score the ones with the best company, not just any.
        """
        self.best: Ints | None = None
        self.allowance = allowance
        self.score, self.least_company = ceiling, np.inf
        self.slack = SAME if ties else -SAME
        stack = [(0, self._nothing())]
        while stack and allowance.left:
            depth, half = stack.pop()
            if depth == len(self.part.sizes) - 1:
                self._finish(half)
                continue
            for more in self._extended(half, allowance):
                stack.append((depth + 1, more))
        return self.best, self.score, not stack

    def groups(self, taken: Ints) -> tuple[Ints, ...]:
        """The children in the table of each of the columns taken."""
        inside = _inside(self.columns, self.part)[taken]
        return tuple(self.part.children[group] for group in inside)

    def _nothing(self) -> _Half:
        one = np.zeros(1, dtype=np.int64)
        return _Half(
            used=one,
            marks=self.part.standing[None, :],
            sums=np.zeros((1, len(self.total))),
            sizes=one,
            company=np.zeros(1),
            taken=np.zeros((1, 0), dtype=np.int64),
        )

    def _extended(self, half: _Half, allowance: Allowance) -> list[_Half]:
        """Every half-made answer with one more group: one that holds the first child without a group."""
        first = np.bitwise_count((~half.used & (half.used + 1)) - 1)
        made: list[_Half] = []
        for child in np.unique(first):
            starting = self.starting[child]
            rows = np.flatnonzero(first == child)
            step = max(1, BATCH // max(1, len(starting)))
            for at in range(0, len(rows), step):
                batch = rows[at : at + step]
                allowance.spend((len(batch) * len(starting) + 2000) / PAIRS_A_UNIT)
                fits = (half.used[batch][:, None] & self.columns.masks[starting][None, :]) == 0
                row, column = np.nonzero(fits)
                if len(row):
                    made.append(self._grown(half, batch[row], starting[column]))
        return made

    def _grown(self, half: _Half, row: Ints, column: Ints) -> _Half:
        grown = _Half(
            used=half.used[row] | self.columns.masks[column],
            marks=merged(self.table, half.marks[row], self.columns.marks[column]),
            sums=half.sums[row] + self.columns.sums[column],
            sizes=half.sizes[row] + self.codes[column],
            company=half.company[row] + self.company[column],
            taken=np.hstack([half.taken[row], column[:, None]]),
        )
        if self.table.spread:
            remain = np.maximum(len(self.part.children) - np.bitwise_count(grown.used), 1)[:, None]
            rest = (self.total - grown.sums) / remain
            grown.marks = np.maximum(grown.marks, np.hstack([rest, -rest]))
        keep = grown.marks.sum(axis=1) < self.score + self.slack
        for at, room in enumerate(self.room):
            keep &= (grown.sizes >> (DIGIT * at)) & ((1 << DIGIT) - 1) <= room
        return grown.only(keep)

    def _finish(self, half: _Half) -> None:
        """The children who remain must be a group themselves."""
        if not len(self.sorted):
            return
        remain = self.full ^ half.used
        at = np.searchsorted(self.columns.masks, remain, sorter=self.sorted)
        last = self.sorted[np.minimum(at, len(self.sorted) - 1)]
        whole = self._grown(half, *self._matching(remain, last))
        for row in range(len(whole.used)):
            score, company = float(whole.marks[row].sum()), float(whole.company[row])
            better = score < self.score - SAME
            if better or (score < self.score + self.slack and company < self.least_company - SAME):
                self.best, self.least_company = whole.taken[row], company
                self.score = min(score, self.score)
                self.allowance.reached(self.table.as_score(self.score))

    def _matching(self, remain: Ints, last: Ints) -> tuple[Ints, Ints]:
        rows = np.flatnonzero(self.columns.masks[last] == remain)
        return rows, last[rows]


def _company(table: Table, part: Part, columns: Columns) -> Floats:
    met = table.met[np.ix_(part.children, part.children)]
    if not met.any():
        return np.zeros(len(columns.masks))
    bits = _inside(columns, part).astype(float)
    company: Floats = np.einsum("ci,ij,cj->c", bits, met, bits) / 2
    return company


def _inside(columns: Columns, part: Part) -> Flags:
    """Columns × children: who is in which."""
    inside: Flags = (columns.masks[:, None] >> np.arange(len(part.children)) & 1).astype(bool)
    return inside


def _prepared(table: Table, part: Part, columns: Columns, ceiling: float) -> tuple[Part, Columns]:
    """Columns at their prices, the children in the order of how few they are in: a search asks for those first."""
    if table.problem.mode is Mode.LIKE:
        part, columns = priced(part, columns, ceiling)
    inside = _inside(columns, part)
    order = np.argsort(inside.sum(axis=0), kind="stable")
    masks = inside[:, order].astype(np.int64) @ (np.int64(1) << np.arange(len(order)))
    return replace(part, children=part.children[order]), replace(columns, masks=masks)


def best_partition(table: Table, part: Part, ceiling: float, allowance: Allowance) -> Found:
    """The best way to cut a part into its groups with a score under the ceiling, with a bound where there is none.

    Looks under low ceilings first: few groups come into question there, and an answer found there is the best.
    """
    columns = enumerate_columns(table, part, ceiling)
    if columns is None:
        return Found(None, ceiling, float(part.standing.sum()))
    part, columns = _prepared(table, part, columns, ceiling)
    allowance.spend((len(columns.masks) + 20_000) / PAIRS_A_UNIT * 20)
    floor = float(part.standing.sum())
    bound, scores = floor, least(table, part, columns)
    for level in LEVELS:
        under = floor + (ceiling - floor) * level
        search = _Search(table, part, columns.only(scores < under))
        best, score, complete = search.run(under, allowance)
        if best is not None:
            return Found(search.groups(best), score, score if complete else bound)
        if not complete:
            return Found(None, ceiling, bound)
        bound = under
        allowance.proved(table.as_score(bound))
    return Found(None, ceiling, ceiling)


def best_company(table: Table, part: Part, score: float, allowance: Allowance) -> tuple[Ints, ...] | None:
    """Of all ways to cut a part with this score, the one with the fewest pairs who were together before.

    None where there is none, or where more groups come into question than can be put together.
    """
    columns = enumerate_columns(table, part, score + 2 * SAME)
    if columns is None or len(columns.masks) > MOST_TIED:
        return None
    part, columns = _prepared(table, part, columns, score)
    search = _Search(table, part, columns)
    best, _, _ = search.run(score, allowance, ties=True)
    return None if best is None else search.groups(best)
