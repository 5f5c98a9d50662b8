"""Where somebody goes: legs of a test, numbered and beside one another, and the paths of an activity."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from django.utils.html import format_html
from django.utils.safestring import SafeString

from clubapp.core.diagram.shapes import Gait, Leg, Path
from clubapp.core.diagram.strokes import Scale, Spot, disc, join, n, shape, stroke, text

RISE = 0.08  # of a jump's length
HOP = 0.25  # the same of a hop among others
TIP = 4.5
FAR, ARRIVED = 0.85, 0.97
NUMBER = 6.0


def legs(scale: Scale, ways: tuple[Leg, ...]) -> Iterator[SafeString]:
    """Each leg begins where the last one ended, so that turns are seen; an arrow and its number on it."""
    last: Spot | None = None
    for number, leg in enumerate(ways, start=1):
        start, end = scale.beside(leg.start, leg.end, leg.aside)
        if leg.gait is Gait.JUMP:
            yield bow(start, end, RISE)
        else:
            yield stroke([*([last] if last else []), start, end], f"ground-leg {leg.gait}")
        yield tip(start, end, number if len(ways) > 1 else 0, far=ARRIVED if leg.gait is Gait.JUMP else FAR)
        last = end


def path(scale: Scale, way: Path) -> SafeString:
    """An arrow at its end and, where there is room, on every part of it."""
    spots = [scale.spot(point) for point in way.points]
    parts = list(pairwise(spots))
    if way.gait is Gait.JUMP:
        drawn = [bow(start, end, HOP) for start, end in parts]
        parts = [(_top(start, end, HOP), end) for start, end in parts]
    else:
        drawn = [stroke(spots, f"ground-leg {way.gait}")]
    shown = [part for part in parts[:-1] if math.dist(*part) > 8 * TIP] + parts[-1:]
    return join([*drawn, *(tip(start, end, 0, far=_near_end(start, end)) for start, end in shown)])


def sample(gait: Gait, at: Spot) -> SafeString:
    """A piece of it for the key."""
    end = at[0] + 30, at[1]
    return bow(at, end, HOP) if gait is Gait.JUMP else stroke((at, end), f"ground-leg {gait}")


def _near_end(start: Spot, end: Spot) -> float:
    """So that the arrow stops short of the cone or child it leads to."""
    size = math.dist(start, end)
    return max(0.5, 1 - 2.4 * TIP / size) if size else 1.0


def bow(start: Spot, end: Spot, rise: float) -> SafeString:
    """A jump from the side: it rises up the page, or to the right where it goes up the page itself."""
    top = _top(start, end, rise)
    way = f"M{n(start[0])},{n(start[1])} Q{n(top[0])},{n(top[1])} {n(end[0])},{n(end[1])}"
    return format_html('<path d="{}" class="ground-leg jump"/>', way)


def _top(start: Spot, end: Spot, rise: float) -> Spot:
    """Where the tangents of its ends meet."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    return start[0] + dx / 2 + abs(dy) * rise * 2, start[1] + dy / 2 - abs(dx) * rise * 2


def tip(start: Spot, end: Spot, number: int, far: float) -> SafeString:
    """The arrow behind most of the way, the number at a third."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    size = math.hypot(dx, dy) or 1.0
    ux, uy = dx / size, dy / size
    x, y = start[0] + dx * far, start[1] + dy * far
    corners = ((x + ux * TIP, y + uy * TIP), (x - ux * TIP - uy * TIP, y - uy * TIP + ux * TIP),
               (x - ux * TIP + uy * TIP, y - uy * TIP - ux * TIP))  # fmt: skip
    arrow = shape(corners, "ground-tip")
    if not number:
        return arrow
    at = (start[0] + dx / 3, start[1] + dy / 3)
    return join((arrow, disc(at, NUMBER, "ground-disc"), text((at[0], at[1] + 3.5), str(number), "number middle")))
