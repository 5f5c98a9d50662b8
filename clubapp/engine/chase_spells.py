"""Who chases when: everybody equally often, never twice in a row, and no set of chasers hopeless."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np

from clubapp.engine import designs
from clubapp.engine.chase_problem import LEAST_SHARE, PER_CHASER, Child, Kind, Problem
from clubapp.engine.runners import Floats, quicker

STEPS = 1000
MOST_SETS = 3000


@dataclass(frozen=True)
class Ground:
    """One field. beats: row quicker than column, the chance. able: positions of who may chase."""

    ids: tuple[str, ...]
    beats: Floats
    able: tuple[int, ...]
    before: tuple[int, ...]

    def share(self, chasers: Sequence[int]) -> float:
        """Of the others, how many the quickest suitable chaser is likely to outrun: a mean of chances."""
        others = [at for at in range(len(self.ids)) if at not in chasers]
        return float(self.beats[np.ix_(chasers, others)].max(axis=0).mean())


def ground(problem: Problem, field: Sequence[str]) -> Ground:
    """Children of a field in an order that does not hang on names: by speed, ties by id."""
    of = problem.of
    order: list[Child] = sorted((of[child] for child in field), key=lambda one: (one.runner.ms, one.id))
    beats = np.array([[quicker(one.runner.likely, two.runner.likely) for two in order] for one in order])
    able = tuple(at for at, one in enumerate(order) if not one.easy)
    return Ground(tuple(one.id for one in order), beats, able, tuple(problem.chased.get(one.id, 0) for one in order))


def chasers(problem: Problem, land: Ground) -> int:
    """How many chase at a time; never so many that nobody is left to be chased."""
    able, whole = len(land.able), len(land.ids)
    if problem.kind is Kind.TEAM:
        return max(1, able // 2)
    if problem.chasers is not None:
        return min(problem.chasers, able, whole - 2)
    count = max(1, round(whole / PER_CHASER))
    while count < min(able // 2, whole // 3) and _hopeless(land, count):
        count += 1
    return min(count, able, whole - 2)


def _hopeless(land: Ground, count: int) -> bool:
    """Whether the slowest child with helpers of middling speed would be quicker than too few."""
    able = land.able
    return land.share([able[-1], *able[len(able) // 2 : len(able) // 2 + count - 1]]) < LEAST_SHARE


def count_spells(problem: Problem, able: int, at_a_time: int) -> int:
    """As many as fit; fewer where then everybody chases equally often, but never under half of them."""
    most = problem.most_spells
    whole = [count for count in range(most, (most + 1) // 2 - 1, -1) if count * at_a_time % able == 0]
    return whole[0] if whole else most


def turns(problem: Problem, land: Ground, places: int, lot: random.Random) -> list[int]:
    """Who chases when, place by place: round and round through the children, so that a turn comes as late as can be.

    Who is to have one turn more stands first: whoever chased least on earlier days, equals by lot. In a team game
    equally quick halves stand one behind the other.
    """
    tie = {at: lot.random() for at in land.able}
    more = places % len(land.able)
    order = sorted(land.able, key=lambda at: (land.before[at], tie[at]))
    order = [*order[:more], *sorted(order[more:], key=lambda at: tie[at])]
    if problem.kind is Kind.TEAM:
        half = designs.serpentine(len(land.able), 2)
        order = [at for side in (0, 1) for at, own in zip(land.able, half, strict=True) if own == side]
    return [order[place % len(order)] for place in range(places)]


def draw(problem: Problem, land: Ground, shape: tuple[int, int], lot: random.Random) -> list[list[int]]:
    """Sets of chasers for each spell: swaps from the plain round, uphill only. shape: spells, chasers at a time."""
    count, at_a_time = shape
    taken = turns(problem, land, count * at_a_time, lot)
    spells = [taken[first : first + at_a_time] for first in range(0, len(taken), at_a_time)]
    now = worth(land, spells)
    for _ in range(STEPS if count > 1 else 0):
        one, two = lot.sample(range(count), 2)
        a, b = lot.randrange(at_a_time), lot.randrange(at_a_time)
        spells[one][a], spells[two][b] = spells[two][b], spells[one][a]
        then = worth(land, spells)
        if then < now:
            spells[one][a], spells[two][b] = spells[two][b], spells[one][a]
        now = max(now, then)
    return spells


def worth(land: Ground, spells: Sequence[Sequence[int]]) -> tuple[int, float, float]:
    """First nobody twice in a spell or in a row, then the least share, then the mean; larger is better."""
    clashes = sum(len(spell) - len(set(spell)) for spell in spells) * 10
    clashes += sum(len(set(one) & set(two)) for one, two in pairwise(spells))
    shares = [land.share(spell) for spell in spells]
    return -clashes, min(shares), math.fsum(shares)


def bound(land: Ground, at_a_time: int) -> float:
    """A least share that no spells can pass: everybody chases, and so the child whose best company is worst does.

    1 where there are too many sets to look at each.
    """
    if math.comb(len(land.able), at_a_time) > MOST_SETS:
        return 1.0
    best = dict.fromkeys(land.able, 0.0)
    for some in combinations(land.able, at_a_time):
        share = land.share(some)
        for at in some:
            best[at] = max(best[at], share)
    return min(best.values())
