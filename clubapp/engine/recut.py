"""Two parts at a time put together and cut anew in the best way there is; shaken and settled again, so many times.

A pair of up to seven members a side has at most 3,432 cuts, which are looked at all at once. Of larger parts seven a
side are drawn by lot each time.
"""

from __future__ import annotations

import random
from functools import cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from clubapp.engine.search import Floats, Ints
from clubapp.engine.shares import BROKEN, Cut

SIDE = 7
SHAKES, SWAPS = 16, 2
ENOUGH_MS = 1.0
Key = tuple[int, float, float]


def settled(cut: Cut, start: Ints, seed: int) -> Ints:
    """The most equal parts found, never less equal than the start; rules may still be broken."""
    work, lot = _Work(cut, random.Random(f"pairs {seed}")), random.Random(f"shakes {seed}")
    best = min(start, work.settle(start), key=work.key)
    for _ in range(SHAKES):
        broken, spread, _rest = work.key(best)
        if not broken and spread <= ENOUGH_MS:
            break
        best = min(best, work.settle(_shaken(best, lot)), key=work.key)
    return best


def _shaken(seats: Ints, lot: random.Random) -> Ints:
    made = seats.copy()
    for _ in range(SWAPS):
        one, other = lot.sample(range(len(made)), 2)
        made[one], made[other] = made[other], made[one]
    return made


@cache
def _sides(first: int, second: int) -> NDArray[np.bool_]:
    """Every way to say who of first + second members is on the first side."""
    ways = list(combinations(range(first + second), first))
    made = np.zeros((len(ways), first + second), dtype=bool)
    for row, members in enumerate(ways):
        made[row, list(members)] = True
    return made


class _Work:
    """One cut's figures, kept while parts are settled."""

    def __init__(self, cut: Cut, lot: random.Random) -> None:
        self.cut, self.lot = cut, lot
        self.loads = np.array(cut.loads, dtype=float)
        self.weights = np.array(cut.weights, dtype=float) / cut.scale
        self.dear = BROKEN * max(1.0, float(self.loads.max()))
        self.kinds = np.zeros((len(cut.kinds), len(cut.loads)))
        for at, kind in enumerate(cut.kinds):
            self.kinds[at, list(kind.members)] = 1.0

    def key(self, seats: Ints) -> Key:
        """Rules broken, then the spread, then how far all parts are from each other."""
        totals = np.bincount(seats, weights=self.loads, minlength=len(self.weights)) * self.weights
        return self.cut.broken(seats), self.cut.spread_ms(seats), float(((totals - totals.mean()) ** 2).sum())

    def settle(self, start: Ints) -> Ints:
        """Pairs of parts in turn, until a whole turn changes none."""
        seats, changed = start.copy(), True
        while changed:
            changed = False
            for pair in combinations(range(len(self.cut.sizes)), 2):
                changed |= self._recut(seats, pair)
        return seats

    def _recut(self, seats: Ints, pair: tuple[int, int]) -> bool:
        """Cut two parts anew in place; whether that is better by more than a hair."""
        sides = [self._drawn(np.flatnonzero(seats == part)) for part in pair]
        members = np.concatenate(sides)
        ways = _sides(len(sides[0]), len(sides[1]))
        cost = self._cost(seats, pair, members, ways)
        best = int(np.argmin(cost))
        if cost[best] >= cost[0] - 1e-9:  # the first way leaves all where they are
            return False
        seats[members] = np.where(ways[best], pair[0], pair[1])
        return True

    def _drawn(self, members: Ints) -> Ints:
        few = members if len(members) <= SIDE else np.array(sorted(self.lot.sample(list(members), SIDE)))
        return few.astype(np.int64)

    def _cost(self, seats: Ints, pair: tuple[int, int], members: Ints, ways: NDArray[np.bool_]) -> Floats:
        """Of each way: how far the two parts are apart, and dear for every rule that is broken."""
        rest = [np.setdiff1d(np.flatnonzero(seats == part), members) for part in pair]
        inside = (ways.astype(float), (~ways).astype(float))
        totals = [own @ self.loads[members] + self.loads[left].sum() for own, left in zip(inside, rest, strict=True)]
        cost: Floats = np.abs(totals[0] * self.weights[pair[0]] - totals[1] * self.weights[pair[1]])
        for side, part in enumerate(pair):
            for at, kind in enumerate(self.cut.kinds):
                have = inside[side] @ self.kinds[at, members] + self.kinds[at, rest[side]].sum()
                off = np.maximum(kind.least[part] - have, 0) + np.maximum(have - kind.most[part], 0)
                cost += self.dear * off
        return cost + self.dear * self._clashes(seats, pair, members, ways)

    def _clashes(self, seats: Ints, pair: tuple[int, int], members: Ints, ways: NDArray[np.bool_]) -> Floats:
        """How many pairs who should be apart stand on one side."""
        place = {int(member): at for at, member in enumerate(members)}
        found = np.zeros(len(ways))
        for one, other in self.cut.apart:
            sides = [self._side(seats, pair, place, member, ways) for member in (one, other)]
            if sides[0] is not None and sides[1] is not None:
                found += sides[0] == sides[1]
        return found

    def _side(
        self, seats: Ints, pair: tuple[int, int], place: dict[int, int], member: int, ways: NDArray[np.bool_]
    ) -> NDArray[np.bool_] | bool | None:
        """Whether a member stands on the first side, way by way; None: in neither part."""
        if member in place:
            return ways[:, place[member]]
        return bool(seats[member] == pair[0]) if seats[member] in pair else None
