"""The few strokes a drawing is made of. Colours and widths are the style sheet's."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from clubapp.core.diagram.shapes import Layout, Leg, Measure, Point

WIDE, HIGH, TALL = 300.0, 330.0, 460.0  # of the ground itself, in units: a phone shows about a pixel for each
STEP, NARROW, MANY = 11.0, 7.0, 6  # between legs drawn beside one another; narrower where there are many

Spot = tuple[float, float]


@dataclass(frozen=True)
class Scale:
    """From the ground's unit to the drawing's: y grows down the page."""

    factor: float
    step: float

    def spot(self, at: Point) -> Spot:
        return float(at[0]) * self.factor, -float(at[1]) * self.factor

    def beside(self, start: Point, end: Point, aside: float) -> tuple[Spot, Spot]:
        """Both ends, moved to one and the same side whichever way the leg goes."""
        (x1, y1), (x2, y2) = self.spot(start), self.spot(end)
        across, along = normal((x1, y1), (x2, y2))
        dx, dy = across * aside * self.step, along * aside * self.step
        return (x1 + dx, y1 + dy), (x2 + dx, y2 + dy)


def extent(layout: Layout) -> list[Point]:
    """What the scale has to hold."""
    return [*layout.points, *(layout.room.corners if layout.room else ())]


def scale_of(layout: Layout) -> Scale:
    across, along = zip(*((float(x), float(y)) for x, y in extent(layout)), strict=True)
    wide, high = max(across) - min(across), max(along) - min(along)
    step = NARROW if len(layout.legs) > MANY and any(leg.aside for leg in layout.legs) else STEP
    most = TALL if layout.room else HIGH
    return Scale(min(WIDE / wide if wide else math.inf, most / high if high else math.inf), step)


def spots_of(layout: Layout, scale: Scale) -> list[Spot]:
    """Everything that must be on the sheet, also what is drawn beside its place."""
    spots = [scale.spot(at) for at in extent(layout)]
    drawn: list[Leg | Measure] = [*layout.legs, *layout.measures]
    for part in drawn:
        spots += scale.beside(part.start, part.end, part.aside)
    return spots


def normal(start: Spot, end: Spot) -> Spot:
    """Down the page for a level leg, to the right for an upright one."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    size = math.hypot(dx, dy) or 1.0
    sign = 1.0 if (dx, -dy) > (0.0, 0.0) else -1.0
    return -dy * sign / size, dx * sign / size


def join(parts: Iterable[SafeString]) -> SafeString:
    return format_html_join("", "{}", ((part,) for part in parts))


def n(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def text(at: Spot, words: str, kind: str = "") -> SafeString:
    return format_html('<text x="{}" y="{}" class="ground-text {}">{}</text>', n(at[0]), n(at[1]), kind, words)


def stroke(spots: Iterable[Spot], kind: str) -> SafeString:
    return format_html('<polyline points="{}" class="{}"/>', corners(spots), kind)


def shape(spots: Iterable[Spot], kind: str) -> SafeString:
    return format_html('<polygon points="{}" class="{}"/>', corners(spots), kind)


def disc(at: Spot, radius: float, kind: str) -> SafeString:
    return format_html('<circle cx="{}" cy="{}" r="{}" class="{}"/>', n(at[0]), n(at[1]), n(radius), kind)


def box(start: Spot, end: Spot, kind: str) -> SafeString:
    """A rectangle between two opposite corners."""
    return shape((start, (start[0], end[1]), end, (end[0], start[1])), kind)


def corners(spots: Iterable[Spot]) -> str:
    return " ".join(f"{n(x)},{n(y)}" for x, y in spots)
