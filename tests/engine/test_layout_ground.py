from __future__ import annotations

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from clubapp.engine.layout_ground import Closed, crosses, holds, obstacles, simple
from clubapp.engine.layout_problem import Box, Ground
from tests.engine.layouts import CORNERED, FIELD, square
from tests.strategies import examples


def test_a_line_crosses_a_box_or_only_touches_it() -> None:
    box = Box(10, 10, 20, 20)
    assert crosses((0, 15), (30, 15), box)
    assert crosses((12, 12), (18, 13), box)
    assert not crosses((0, 10), (30, 10), box)
    assert not crosses((0, 20), (20, 40), box)
    assert not crosses((0, 8), (11, 24), box)
    assert not crosses((0, 20), (10, 30), box)


@examples(20)
@given(st.integers(-5, 40), st.integers(-5, 30))
def test_a_square_metre_is_inside_when_each_of_its_corners_and_its_middle_are(x: int, y: int) -> None:
    """Independent: by angles seen from a point, for a box too small to hold a corner of this outline."""
    box = Box(10 * x, 10 * y, 10 * x + 10, 10 * y + 10)
    points = [
        *product((box.left + 0.01, box.right - 0.01), (box.bottom + 0.01, box.top - 0.01)),
        (box.left + 5, box.bottom + 5),
    ]
    corners = [
        corner for corner in CORNERED.outline if box.left < corner[0] < box.right and box.bottom < corner[1] < box.top
    ]
    assert holds(CORNERED, box) == (all(inside(at) for at in points) and not corners)


def inside(at: tuple[float, float]) -> bool:
    turns = 0
    for (x1, y1), (x2, y2) in CORNERED.edges:
        side = (x2 - x1) * (at[1] - y1) - (at[0] - x1) * (y2 - y1)
        turns += (y1 <= at[1] < y2 and side > 0) - (y2 <= at[1] < y1 and side < 0)
    return turns != 0


def test_an_outline_crosses_itself_or_not() -> None:
    assert simple(FIELD.outline)
    assert simple(CORNERED.outline)
    assert simple(((0, 0), (10, 0), (0, 10)))
    assert not simple(((0, 0), (10, 10), (10, 0), (0, 20)))
    assert not simple(((0, 0), (10, 0), (10, 10), (5, 0), (0, 10)))
    assert not simple(((0, 0), (10, 0), (10, 10), (10, 0), (0, 10)))


def kinds(ground: Ground) -> list[Closed]:
    return [kind for kind, _box in obstacles(ground)]


def test_a_rectangle_has_only_what_lies_on_it() -> None:
    assert kinds(square(100)) == []
    assert kinds(FIELD) == [Closed.HAZARD, Closed.POINT, Closed.POINT]
    assert obstacles(FIELD)[1][1] == Box(-5, 145, 5, 155)


def test_outside_an_outline_nothing_may_stand_and_inside_nothing_is_closed() -> None:
    boxes = [box for kind, box in obstacles(CORNERED) if kind is Closed.OUTSIDE]
    for x, y in product(range(0, 400, 10), range(0, 300, 10)):
        cell = Box(x, y, x + 10, y + 10)
        assert any(cell.meets(box) for box in boxes) == (not holds(CORNERED, cell))


def test_a_long_ground_is_cut_coarser() -> None:
    wedge = Ground(((0, 0), (3000, 0), (3000, 1000)))
    assert all(box.top - box.bottom >= 10 for _kind, box in obstacles(wedge))
    assert len(obstacles(wedge)) < 60


def test_behind_a_strip_that_nobody_may_cross_nobody_gets_to_first_aid() -> None:
    strip = Box(0, 40, 100, 50)
    ground = Ground(((0, 0), (100, 0), (100, 100), (0, 100)), (strip,), first_aid=(50, 0))
    assert obstacles(ground)[-1] == (Closed.CUT_OFF, Box(0, 50, 100, 100))
    assert kinds(Ground(ground.outline, (strip,))) == [Closed.HAZARD]
    both = Ground(ground.outline, (strip,), (50, 100), (50, 0))
    assert sum(kind is Closed.CUT_OFF for kind in kinds(both)) == 2
    open_at_one_end = Ground(ground.outline, (Box(0, 40, 80, 50),), first_aid=(50, 0))
    assert Closed.CUT_OFF not in kinds(open_at_one_end)
