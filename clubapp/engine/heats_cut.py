"""Children cut into heats: by the snake and better, like with like, or by lot."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

import numpy as np

from clubapp.engine import designs, shares
from clubapp.engine.heats_problem import Mode, Problem, means
from clubapp.engine.limits import Limit
from clubapp.engine.search import Ints

Cut = tuple[tuple[str, ...], ...]  # ids of each heat, the best rank first


def snake(problem: Problem) -> Cut:
    """Dealt by rank like a snake; looks at no rule."""
    return _cut(problem, designs.serpentine(len(problem.runners), problem.count))


def _cut(problem: Problem, seats: Sequence[int] | Ints) -> Cut:
    return tuple(
        tuple(runner.id for runner, at in zip(problem.order, seats, strict=True) if at == heat)
        for heat in range(problem.count)
    )


def spread_ms(problem: Problem, cut: Cut) -> float:
    """EVEN: the strongest heat's mean likely time less the weakest's. LIKE: what times differ by within heats, as a
    standard deviation. OPEN: 0, for a lot cannot be better or worse. Milliseconds.
    """
    middle = means(problem, cut)
    if problem.mode is Mode.EVEN:
        return max(middle) - min(middle)
    if problem.mode is Mode.OPEN:
        return 0.0
    own = {runner.id: runner.ms for runner in problem.runners}
    parts = [(own[child] - mean) ** 2 for heat, mean in zip(cut, middle, strict=True) for child in heat]
    return math.sqrt(math.fsum(parts) / len(parts))


def even(problem: Problem, limit: Limit, seed: int) -> tuple[Cut | None, float, shares.Way]:
    """Heats of equal strength, a bound, and whether there is a way.

    Each row of the snake has one child in every heat, so that everybody meets children of every rank; only where pairs
    cannot be kept apart like that are the rows given up.
    """
    start = np.array(designs.serpentine(len(problem.runners), problem.count))
    rowed = _job(problem, start, rows=True)
    found = shares.solve(rowed, start, limit, seed)
    if found.way is not shares.Way.FOUND:
        found = shares.solve(_job(problem, start, rows=False), start, limit, seed)
    return (_cut(problem, found.seats) if found.way is shares.Way.FOUND else None), found.bound_ms, found.way


def _job(problem: Problem, start: Ints, *, rows: bool) -> shares.Cut:
    place = {runner.id: at for at, runner in enumerate(problem.order)}
    count, size = problem.count, len(place)
    kinds = tuple(
        shares.Kind(
            tuple(range(first, min(first + count, size))),
            (1 if first + count <= size else 0,) * count,
            (1,) * count,
        )
        for first in range(0, size if rows else 0, count)
    )
    return shares.Cut(
        tuple(runner.ms for runner in problem.order),
        tuple(int(part) for part in np.bincount(start)),
        tuple(sorted((min(pair), max(pair)) for pair in ({place[child] for child in two} for two in problem.apart))),
        kinds,
    )


def blocks(problem: Problem) -> Cut:
    """Consecutive ranks; which heats have one more is chosen so that times differ least within heats.

    For given sizes consecutive parts are the best there are on a line, so this is proven where nobody must be apart.
    """
    times = [runner.ms for runner in problem.order]
    small, larger = divmod(len(times), problem.count)
    best: dict[tuple[int, int], tuple[float, tuple[int, ...]]] = {(0, 0): (0.0, ())}
    for heat in range(problem.count):
        for more in range(min(heat + 1, larger) + 1):
            ways = []
            for one in (0, 1):
                if (heat, more - one) in best:
                    cost, sizes = best[heat, more - one]
                    at = sum(sizes)
                    ways.append((cost + _squares(times[at : at + small + one]), (*sizes, small + one)))
            best[heat + 1, more] = min(ways)
    sizes = best[problem.count, larger][1]
    return _cut(problem, [heat for heat, size in enumerate(sizes) for _ in range(size)])


def _squares(times: Sequence[int]) -> float:
    mean = sum(times) / len(times)
    return math.fsum((time - mean) ** 2 for time in times)


def by_lot(problem: Problem, lot: random.Random) -> Cut:
    """Children drawn, not dealt; sizes differ by one at most."""
    seats = [at % problem.count for at in range(len(problem.runners))]
    lot.shuffle(seats)
    return _cut(problem, seats)


def clashes(problem: Problem, cut: Cut) -> int:
    """How many pairs who should be apart are in one heat."""
    return sum(pair <= set(heat) for pair in problem.apart for heat in cut)


def parted(problem: Problem, cut: Cut) -> Cut | None:
    """Pairs taken apart by the swap of two children that costs least, one after another; None where no swap helps."""
    while now := clashes(problem, cut):
        ways = [(clashes(problem, way), spread_ms(problem, way), way) for way in _swaps(problem, cut)]
        fewest, _, cut = min(ways, default=(now, 0.0, cut))
        if fewest >= now:
            return None
    return cut


def _swaps(problem: Problem, cut: Cut) -> list[Cut]:
    """Every cut that differs by a swap of a child of a pair."""
    heat_of = {child: heat for heat, ids in enumerate(cut) for child in ids}
    ids = [runner.id for runner in problem.order]
    moving = {child for pair in problem.apart for child in pair if heat_of[min(pair)] == heat_of[max(pair)]}
    swaps = []
    for child in sorted(moving, key=ids.index):
        for other in ids:
            if heat_of[other] != heat_of[child]:
                seats = {**heat_of, child: heat_of[other], other: heat_of[child]}
                swaps.append(_cut(problem, [seats[one] for one in ids]))
    return swaps
