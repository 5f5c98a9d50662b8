"""What stands on the ground: one sign each, of one size on every sheet, told apart by shape and never by colour."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.html import format_html
from django.utils.safestring import SafeString

from clubapp.core.diagram.shapes import What, Who
from clubapp.core.diagram.strokes import Spot, box, disc, join, shape, stroke, text

CONE = 6.0
BODY = 5.5
LETTER = 16.0
BEYOND = 4.0

Sign = Callable[[Spot], SafeString]


def cone(at: Spot, name: str, middle: float) -> SafeString:
    """Its name stands outside: above the upper ones, below the lower ones."""
    x, y = at
    below = y + CONE + LETTER if y > middle else y - CONE - BEYOND
    label = text((x, below), name, "strong middle") if name else ""
    sign = shape(((x - CONE, y + CONE), (x + CONE, y + CONE), (x, y - CONE)), "ground-cone")
    return format_html("{}{}", sign, label)


def person(who: Who) -> Sign:
    """Full: at work; empty: waiting; ringed: chaser; a square on its corner: adult."""
    signs: dict[Who, Sign] = {
        Who.CHILD: lambda at: disc(at, BODY, "ground-full"),
        Who.WAITING: lambda at: disc(at, BODY, "ground-empty"),
        Who.CHASER: lambda at: join((disc(at, BODY + 1, "ground-empty"), disc(at, BODY - 2, "ground-full"))),
        Who.ADULT: lambda at: shape(_diamond(at, BODY + 2.5), "ground-empty bold"),
    }
    return signs[who]


def _diamond(at: Spot, half: float) -> tuple[Spot, ...]:
    x, y = at
    return (x, y - half), (x + half, y), (x, y + half), (x - half, y)


def item(what: What) -> Sign:
    signs: dict[What, Sign] = {
        What.BALL: _ball,
        What.HOOP: lambda at: disc(at, BODY + 2.5, "ground-ring"),
        What.MARKER: lambda at: stroke(((at[0] - 5, at[1]), (at[0] + 5, at[1])), "ground-marker"),
        What.BEANBAG: lambda at: box((at[0] - 4, at[1] - 4), (at[0] + 4, at[1] + 4), "ground-full"),
        What.HURDLE: _hurdle,
        What.MAT: _mat,
    }
    return signs[what]


def _ball(at: Spot) -> SafeString:
    x, y = at
    seams = (((x - 4.5, y), (x + 4.5, y)), ((x, y - 4.5), (x, y + 4.5)))
    return join((disc(at, 4.5, "ground-empty"), *(stroke(seam, "ground-thin") for seam in seams)))


def _hurdle(at: Spot) -> SafeString:
    x, y = at
    feet = (((x - 8, y - 4), (x - 8, y + 4)), ((x + 8, y - 4), (x + 8, y + 4)))
    return join((stroke(((x - 8, y), (x + 8, y)), "ground-line"), *(stroke(foot, "ground-thin") for foot in feet)))


def _mat(at: Spot) -> SafeString:
    x, y = at
    corner, other = (x - 12, y - 7), (x + 12, y + 7)
    return join((box(corner, other, "ground-empty"), stroke((corner, other), "ground-thin")))
