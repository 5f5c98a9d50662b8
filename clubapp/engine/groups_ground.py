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

    def broken(self, children: Floats) -> Floats:
        """How much each group, a row of 0 and 1, breaks the rules."""
        touchy = children[:, self.touchy]
        broken: Floats = ((touchy @ self.clash) * touchy).sum(axis=1) / 2
        with_us = children @ self.chains
        broken += np.minimum(with_us, self.chains.sum(axis=0) - with_us).sum(axis=1)
        broken += (children @ self.table.kinds.T == 1).sum(axis=1)
        broken += ((children @ self.near == 0) * children[:, self.asking]).sum(axis=1)
        if self.table.new.any():
            new = children @ self.table.new
            broken += (new > 0) & (new == children.sum(axis=1))
        return broken


def group_marks(table: Table, seats: Ints) -> Floats:
    """The marks of every group, groups × marks."""
    inside = (seats[None, :] == np.arange(table.problem.groups)[:, None]).astype(float)
    squares = inside @ table.values[:, 0] ** 2 if table.values.shape[1] else inside.sum(axis=1)
    return marks(table, inside @ table.values, squares, inside.sum(axis=1).astype(np.int64))


def total(table: Table, own: Floats) -> float:
    """The score of groups with these marks: the spread, or the sum of squares."""
    return float(own.max(axis=0).sum() if table.spread else own.sum())
