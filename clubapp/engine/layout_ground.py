"""What of a ground is closed: what lies outside its outline, on it, or beyond what cannot be crossed."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from enum import StrEnum
from functools import lru_cache
from itertools import product

from clubapp.engine.layout_problem import Box, Ground, Point

CELL, MOST_CELLS = 10, 100  # an outline is cut into squares of a metre, larger ones where it is more than 100 m long
POINT = 5  # water and first aid take a square metre


class Closed(StrEnum):
    """Why ground is closed."""

    OUTSIDE = "outside"
    HAZARD = "hazard"
    POINT = "point"  # water or first aid stands there
    CUT_OFF = "cut off"  # from water and first aid


Obstacle = tuple[Closed, Box]


def crosses(start: Point, end: Point, box: Box) -> bool:
    """Whether a straight line has a point inside a box; its edge does not count. Exact."""
    (x1, y1), (x2, y2) = start, end
    if max(x1, x2) <= box.left or min(x1, x2) >= box.right or max(y1, y2) <= box.bottom or min(y1, y2) >= box.top:
        return False
    corners = product((box.left, box.right), (box.bottom, box.top))
    sides = [(x2 - x1) * (y - y1) - (y2 - y1) * (x - x1) for x, y in corners]
    return min(sides) < 0 < max(sides)


def holds(ground: Ground, box: Box) -> bool:
    """Whether a box lies inside the outline; touching it is allowed. Exact."""
    return not any(crosses(*edge, box) for edge in ground.edges) and _middle_inside(ground, box)


def _middle_inside(ground: Ground, box: Box) -> bool:
    """A ray to the east crosses the outline an odd number of times. Everything is doubled, so that it is exact."""
    x, y, inside = box.left + box.right, box.bottom + box.top, False
    for (x1, y1), (x2, y2) in ground.edges:
        if (2 * y1 > y) != (2 * y2 > y):
            turn = (2 * x2 - 2 * x1) * (y - 2 * y1) - (x - 2 * x1) * (2 * y2 - 2 * y1)
            inside ^= (turn > 0) == (y2 > y1)
    return inside


def simple(outline: tuple[Point, ...]) -> bool:
    """Whether no two sides of an outline cross or touch, but neighbours in their corner."""
    edges = Ground(outline).edges
    count = len(edges)
    return (
        not any(
            _touch(edges[one], edges[two])
            for one, two in product(range(count), repeat=2)
            if one + 1 < two and (one, two) != (0, count - 1)
        )
        and len(set(outline)) == count
    )


def _touch(one: tuple[Point, Point], two: tuple[Point, Point]) -> bool:
    (a, b), (c, d) = one, two
    if not _spans_meet(one, two):
        return False
    return _side(a, b, c) * _side(a, b, d) <= 0 and _side(c, d, a) * _side(c, d, b) <= 0


def _spans_meet(one: tuple[Point, Point], two: tuple[Point, Point]) -> bool:
    return all(
        max(p[axis] for p in one) >= min(p[axis] for p in two)
        and max(p[axis] for p in two) >= min(p[axis] for p in one)
        for axis in (0, 1)
    )


def _side(start: Point, end: Point, at: Point) -> int:
    turn = (end[0] - start[0]) * (at[1] - start[1]) - (end[1] - start[1]) * (at[0] - start[0])
    return (turn > 0) - (turn < 0)


@lru_cache(maxsize=32)
def obstacles(ground: Ground) -> tuple[Obstacle, ...]:
    """Boxes that no room may stand on; those outside the outline are a little too large, never too small."""
    grid = _Grid(ground)
    outside = [(Closed.OUTSIDE, box) for box in grid.boxes(grid.outside)]
    lying = [(Closed.HAZARD, box) for box in ground.closed]
    points = [(Closed.POINT, point_box(at)) for at in (ground.water, ground.first_aid) if at]
    cut = [(Closed.CUT_OFF, box) for box in grid.boxes(_cut_off(ground, grid))]
    return (*outside, *lying, *points, *cut)


def point_box(at: Point) -> Box:
    return Box(at[0], at[1], at[0], at[1]).grown(POINT)


class _Grid:
    """The extent in squares. outside: those that are not wholly inside the outline."""

    def __init__(self, ground: Ground) -> None:
        self.extent = ground.extent
        span = max(self.extent.right - self.extent.left, self.extent.top - self.extent.bottom)
        self.cell = max(CELL, -(-span // MOST_CELLS))
        self.wide = -(-(self.extent.right - self.extent.left) // self.cell)
        self.long = -(-(self.extent.top - self.extent.bottom) // self.cell)
        whole = holds(ground, self.extent)
        self.outside = set() if whole else {at for at in self.all if not holds(ground, self.box(at))}

    @property
    def all(self) -> Iterator[Point]:
        return product(range(self.wide), range(self.long))

    def box(self, at: Point, wide: int = 1) -> Box:
        """A square, or some beside one another; what juts out of the extent is cut."""
        left, bottom = self.extent.left + at[0] * self.cell, self.extent.bottom + at[1] * self.cell
        right, top = left + wide * self.cell, bottom + self.cell
        return Box(left, bottom, min(right, self.extent.right), min(top, self.extent.top))

    def cell_of(self, at: Point) -> Point:
        return (at[0] - self.extent.left) // self.cell, (at[1] - self.extent.bottom) // self.cell

    def boxes(self, cells: set[Point]) -> Iterator[Box]:
        """The cells as few boxes: runs of a row, joined with equal runs of the rows above."""
        open_runs: dict[Point, Box] = {}
        for row in range(self.long + 1):
            runs = dict(_runs([x for x in range(self.wide) if (x, row) in cells]))
            for run in [run for run in open_runs if runs.get(run[0]) != run[1]]:
                yield open_runs.pop(run)
            for start, wide in runs.items():
                box = self.box((start, row), wide)
                known = open_runs.get((start, wide), box)
                open_runs[start, wide] = Box(known.left, known.bottom, box.right, box.top)


def _runs(xs: list[int]) -> Iterator[tuple[int, int]]:
    """Starts and lengths of what stands side by side."""
    start = 0
    for at in range(1, len(xs) + 1):
        if at == len(xs) or xs[at] != xs[at - 1] + 1:
            yield xs[start], at - start
            start = at


def _cut_off(ground: Ground, grid: _Grid) -> set[Point]:
    """Open squares from which nobody gets to water or to first aid."""
    places = [at for at in (ground.water, ground.first_aid) if at]
    if not places:
        return set()
    shut = grid.outside | {at for at in grid.all if any(grid.box(at).meets(box) for box in ground.closed)}
    free = set(grid.all) - shut
    reached = free.intersection(*(_from(grid.cell_of(at), free) for at in places))
    return free - reached


def _from(start: Point, free: set[Point]) -> set[Point]:
    """All that is reached from a square, or from those beside it: a tap may stand at the edge, on a closed one."""
    seen = {start, *_beside(start, corners=True)} & free
    queue = deque(seen)
    while queue:
        for at in _beside(queue.popleft()):
            if at in free and at not in seen:
                seen.add(at)
                queue.append(at)
    return seen


def _beside(at: Point, corners: bool = False) -> Iterable[Point]:
    steps = ((dx, dy) for dx, dy in product((-1, 0, 1), repeat=2) if corners or abs(dx) + abs(dy) == 1)
    return ((at[0] + dx, at[1] + dy) for dx, dy in steps)
