"""What a search for groups walks on: how even groups are and how much they break the rules, many at once."""

from __future__ import annotations

from functools import cached_property

import numpy as np

from clubapp.engine.groups_columns import SAME, marks
from clubapp.engine.groups_table import Floats, Ints, Table

BROKEN = 3.0  # energy of one broken rule, more than any swap is worth in fairness
UNFAIR = 100.0  # energy of a point of score lost for better company


class Ground:
    """The children of a table, and empty places that let groups differ by one in size, as members of the search.

    aim: the score to keep; given one, the search is for the fewest pairs who were together before.
    """

    def __init__(self, table: Table, empty: int, aim: float | None = None) -> None:
        self.aim, self.pairs = aim, float(table.met.sum()) / 2 or 1.0
        self.table, self.count, self.empty = table, len(table.ids), empty
        self.touchy = np.flatnonzero(table.clash.any(axis=1))
        self.clash = table.clash[np.ix_(self.touchy, self.touchy)].astype(float)
        self.asking = np.flatnonzero(table.asks_near)
        self.near = table.near[:, self.asking].astype(float)
        chains = [atom for atom in table.atoms if len(atom) > 1]
        self.chains = np.zeros((self.count, len(chains)))
        for at, chain in enumerate(chains):
            self.chains[list(chain), at] = 1.0

    @cached_property
    def steps(self) -> Floats:
        """The least difference between two children in each of the values; 0 where they are all the same."""
        apart = [np.diff(np.unique(column)) for column in self.table.values.T]
        return np.array([float(column[column > SAME].min(initial=np.inf)) if len(column) else 0.0 for column in apart])

    def features(self, groups: Floats) -> Floats:
        children = groups[:, : self.count]
        sizes = np.maximum(children.sum(axis=1), 1.0)
        values = self.table.values
        squares: Floats = children @ values[:, 0] ** 2 if values.shape[1] else sizes
        own = marks(self.table, children @ values, squares, sizes.astype(np.int64))
        broken = self.broken(children) + np.maximum(groups[:, self.count :].sum(axis=1) - 1, 0)
        company = ((children @ self.table.met) * children).sum(axis=1) / 2 if self.aim is not None else broken * 0
        features: Floats = np.hstack([own, company[:, None], broken[:, None]])
        return features

    def energy(self, features: Floats) -> Floats:
        own, company, broken = features[:, :, :-2], features[:, :, -2].sum(axis=1), features[:, :, -1].sum(axis=1)
        score = own.max(axis=1).sum(axis=1) if self.table.spread else own.sum(axis=(1, 2))
        if self.aim is not None:
            score = UNFAIR * np.maximum(score - self.aim - SAME, 0.0) + company / self.pairs
        energy: Floats = np.asarray(score + BROKEN * broken)
        return energy

    @cached_property
    def counted(self) -> Floats:
        """Children × what rules count in a group: its chains, its kinds, whom others ask for, and first-timers."""
        return np.hstack([self.chains, self.table.kinds.T, self.near, self.table.new[:, None]]).astype(float)

    def broken(self, children: Floats) -> Floats:
        """How much each group, a row of 0 and 1, breaks the rules."""
        touchy, asking = children[:, self.touchy], children[:, self.asking]
        return self._broken(touchy, asking, children @ self.counted, children.sum(axis=1))

    def broken_with(self, kept: Floats, pool: Ints, more: Floats) -> Floats:
        """The same for groups of those kept and of some of a pool, a row of 0 and 1 each: only the pool is counted."""
        counts = kept @ self.counted + more @ self.counted[pool]
        touchy, asking = (_those(who, kept, pool, more) for who in (self.touchy, self.asking))
        return self._broken(touchy, asking, counts, kept.sum() + more.sum(axis=1))

    def _broken(self, touchy: Floats, asking: Floats, counts: Floats, sizes: Floats) -> Floats:
        chains, kinds = self.chains.shape[1], len(self.table.kinds)
        with_us, of_kind, near, new = np.split(counts, [chains, chains + kinds, counts.shape[1] - 1], axis=1)
        broken: Floats = ((touchy @ self.clash) * touchy).sum(axis=1) / 2
        broken += np.minimum(with_us, self.chains.sum(axis=0) - with_us).sum(axis=1)
        broken += (of_kind == 1).sum(axis=1)
        broken += ((near == 0) * asking).sum(axis=1)
        broken += ((new > 0) & (new == sizes[:, None])).sum(axis=1)
        return broken


def _those(who: Ints, kept: Floats, pool: Ints, more: Floats) -> Floats:
    """The columns of some children in groups of those kept and of some of a pool."""
    rows = np.tile(kept[who], (len(more), 1))
    _, at, place = np.intersect1d(who, pool, return_indices=True)
    rows[:, at] = more[:, place]
    return rows


def group_marks(table: Table, seats: Ints) -> Floats:
    """The marks of every group, groups × marks."""
    inside = (seats[None, :] == np.arange(table.problem.groups)[:, None]).astype(float)
    squares = inside @ table.values[:, 0] ** 2 if table.values.shape[1] else inside.sum(axis=1)
    return marks(table, inside @ table.values, squares, inside.sum(axis=1).astype(np.int64))


def total(table: Table, own: Floats) -> float:
    """The score of groups with these marks: the spread, or the sum of squares."""
    return float(own.max(axis=0).sum() if table.spread else own.sum())
