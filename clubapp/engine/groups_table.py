"""A problem on groups as arrays: children in a fixed order, what they weigh, and which of them may stand together."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from clubapp.engine import fairness
from clubapp.engine.groups_problem import FIRST_TIMER, Answer, Mode, Problem
from clubapp.engine.groups_rules import ages, apart_pairs, chains, days

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Table:
    """ids: the children, the most unusual first (they fit into the fewest groups, so a search asks for them first).

    values: children × attributes, distance from the mean of all in standard deviations times the weight (EVEN), or the
    ability alone (LIKE). clash: pairs that may not share a group. near: pairs close enough in age; asks_near: who asks
    for one of them. kinds: kinds × children. new: first-timers, where they need guiding. atoms: children that move
    together. locked: group index by child, −1 for none. met: what a pair costs.
    """

    problem: Problem
    ids: tuple[str, ...]
    values: Floats
    clash: Flags
    near: Flags
    asks_near: Flags
    kinds: Flags
    new: Flags
    locked: Ints
    met: Floats

    @cached_property
    def atoms(self) -> tuple[tuple[int, ...], ...]:
        """Chains of children to be kept together, locks included, and every other child alone; in the order of ids."""
        label = np.arange(len(self.ids))
        seat = {child: at for at, child in enumerate(self.ids)}
        ties = [[seat[child] for child in chain] for chain in chains(self.problem)]
        ties += [list(np.flatnonzero(self.locked == index)) for index in sorted(set(self.locked) - {-1})]
        for tie in ties:
            label[np.isin(label, label[tie])] = label[tie].min()
        return tuple(tuple(map(int, np.flatnonzero(label == first))) for first in sorted(set(label)))

    @property
    def spread(self) -> bool:
        """Whether the spread itself is to be made small, not a sum over the groups."""
        return self.problem.mode is Mode.EVEN

    def as_score(self, figure: float) -> float:
        """What the search minimises, as the score: the same for EVEN, a share of the deviation for LIKE."""
        if self.spread:
            return figure
        whole_sum = float((self.values**2).sum())
        return math.sqrt(max(figure, 0.0) / whole_sum) if whole_sum else 0.0

    def seats(self, answer: Answer) -> Ints:
        """The group index of every child, in the order of ids."""
        index = {child: at for at, group in enumerate(answer.groups) for child in group}
        return np.array([index[child] for child in self.ids], dtype=np.int64)

    def answer(self, seats: Ints) -> Answer:
        """The other way round."""
        return Answer.of([[self.ids[at] for at in np.flatnonzero(seats == g)] for g in range(self.problem.groups)])


def table(problem: Problem) -> Table:
    """Arrays for a problem whose locks and groups exist."""
    weighed = _values(problem)
    far = np.abs(weighed).sum(axis=1)
    ids = problem.ids
    order = sorted(range(len(ids)), key=lambda at: (-far[at], ids[at]))
    athletes = [problem.athletes[at] for at in order]
    seat = {athlete.id: at for at, athlete in enumerate(athletes)}
    locked = np.full(len(ids), -1, dtype=np.int64)
    for child, index in problem.locks:
        if child in seat:
            locked[seat[child]] = index
    gap = _age_gaps(problem, tuple(seat))
    near = gap <= days(problem.within_years or 0)
    np.fill_diagonal(near, False)
    known = np.array([a.born is not None and a.id not in problem.excused for a in athletes], dtype=bool)
    return Table(
        problem=problem,
        ids=tuple(seat),
        values=weighed[order],
        clash=_clashes(problem, seat, gap, locked),
        near=near,
        asks_near=known & (problem.within_years is not None),
        kinds=np.array([[kind in a.kinds for a in athletes] for kind in problem.not_alone], dtype=bool).reshape(
            len(problem.not_alone), len(athletes)
        ),
        new=np.array([problem.guided and FIRST_TIMER in a.kinds for a in athletes], dtype=bool),
        locked=locked,
        met=_met(problem, seat),
    )


def _values(problem: Problem) -> Floats:
    if problem.mode is Mode.LIKE:
        able = fairness.ability(problem.athletes, problem.on, problem.balance)
        return np.array(able, dtype=float).reshape(-1, 1)
    columns: list[Floats] = []
    for attribute in problem.balance:
        values = fairness.filled(problem.athletes, problem.on, attribute.name).values
        sd = fairness.deviation(values)
        if sd and attribute.weight:
            columns.append((np.array(values) - fairness.mean(values)) * (attribute.weight / sd))
    return np.array(columns, dtype=float).reshape(len(columns), len(problem.athletes)).T


def _age_gaps(problem: Problem, ids: tuple[str, ...]) -> Floats:
    """Days between the births of each two children; not a number where one is unknown, which compares as false."""
    born = ages(problem)
    when = np.array([born.get(child, np.nan) for child in ids], dtype=float)
    gaps: Floats = np.abs(when[:, None] - when[None, :])
    return gaps


def _clashes(problem: Problem, seat: dict[str, int], gap: Floats, locked: Ints) -> Flags:
    clash: Flags = (locked[:, None] != locked[None, :]) & (locked[:, None] >= 0) & (locked[None, :] >= 0)
    if problem.largest_age_gap_years is not None:
        clash |= gap > days(problem.largest_age_gap_years)
    for one, other in apart_pairs(problem):
        clash[seat[one], seat[other]] = clash[seat[other], seat[one]] = True
    return clash


def _met(problem: Problem, seat: dict[str, int]) -> Floats:
    met = np.zeros((len(seat), len(seat)))
    for pair, cost in problem.met.items():
        one, other = tuple(pair)
        if one in seat and other in seat:
            met[seat[one], seat[other]] += cost
            met[seat[other], seat[one]] += cost
    return met
