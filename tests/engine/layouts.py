"""Small grounds and set-ups for the tests of layout."""

from __future__ import annotations

from hypothesis import strategies as st

from clubapp.engine.layout_problem import Box, Ground, Problem, Station
from clubapp.engine.limits import Limit

SHORT = Limit(deterministic=0.1)
FIELD = Ground(((0, 0), (400, 0), (400, 300), (0, 300)), (Box(190, 140, 210, 160),), water=(0, 150), first_aid=(200, 0))
# A ground without a right angle, its west side drawn in.
CORNERED = Ground(((0, 0), (400, 20), (380, 300), (20, 280), (120, 150)))


def square(side: int) -> Ground:
    return Ground(((0, 0), (side, 0), (side, side), (0, side)))


def stations(count: int) -> tuple[Station, ...]:
    sizes = ((60, 100, 50), (80, 60, 0), (60, 60, 0), (50, 80, 30))
    return tuple(
        Station(f"s{at}", wide, long, (run, 0, 0, 0), loud=at == 1, hears=at == 2)
        for at, (wide, long, run) in enumerate(sizes[:count])
    )


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    metres = st.integers(2, 9).map(lambda metre: 10 * metre)
    runs = st.sampled_from([(0, 0, 0, 0), (50, 0, 0, 0), (30, 0, 30, 0)])
    made = draw(st.lists(st.tuples(metres, metres, runs, st.booleans(), st.booleans()), min_size=1, max_size=4))
    rooms = tuple(Station(f"s{at}", *row) for at, row in enumerate(made))
    return Problem(draw(st.sampled_from([FIELD, CORNERED, square(120)])), rooms)
