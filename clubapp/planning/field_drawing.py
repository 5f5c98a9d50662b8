"""A venue with its stations as SVG, to scale: run-outs, walking ways, water and first aid. Strokes are the sheet's."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from clubapp.core.diagram.shapes import Point
from clubapp.core.diagram.strokes import Scale, Spot, box, disc, join, n, shape, stroke, text
from clubapp.core.diagram.ways import tip
from clubapp.engine import layout as engine
from clubapp.planning.field_bridge import Field, on_ground

WIDE, HIGH, EDGE = 340.0, 520.0, 22.0
CONE, RULER_M, LETTER_WIDE = 2.6, 10, 7.0


def svg(field: Field, wrong: frozenset[str], chosen: str) -> SafeString:
    """wrong: stations that break a rule; chosen: the one that was tapped. Words for both stand beside it."""
    extent = field.problem.ground.extent
    wide, high = (extent.right - extent.left) / 10, (extent.top - extent.bottom) / 10
    scale = Scale(min(WIDE / wide, HIGH / high), 0)
    left, top = _at(scale, extent.left / 10, extent.top / 10)
    view = (left - EDGE, top - EDGE, wide * scale.factor + 2 * EDGE, high * scale.factor + 3 * EDGE)
    parts = [*_venue(field, scale), *_walks(field, scale)]
    parts += [_station(field, scale, place, (wrong, chosen)) for place in field.placed]
    parts += [*_names(field, scale), *_points(field, scale), *_frame(scale, extent)]
    return format_html(
        '<svg class="ground field-ground" viewBox="{} {} {} {}" data-scale="{}" role="img" aria-label="{}">{}</svg>',
        *(n(value) for value in view),
        f"{scale.factor:.4f}",
        _("The field to scale, north is up. What it shows stands below in words."),
        join(parts),
    )


def _spot(scale: Scale, at: engine.Point) -> Spot:
    return _at(scale, at[0] / 10, at[1] / 10)


def _at(scale: Scale, x: float, y: float) -> Spot:
    return x * scale.factor, -y * scale.factor


def _corners(scale: Scale, area: engine.Box) -> tuple[Spot, Spot]:
    return _spot(scale, (area.left, area.bottom)), _spot(scale, (area.right, area.top))


def _venue(field: Field, scale: Scale) -> Iterator[SafeString]:
    ground = field.problem.ground
    yield shape([_spot(scale, at) for at in ground.outline], "field-outline")
    for area in ground.closed:
        start, end = _corners(scale, area)
        yield box(start, end, "field-closed")
        yield stroke((start, end), "ground-thin")
        yield stroke(((start[0], end[1]), (end[0], start[1])), "ground-thin")


def _names(field: Field, scale: Scale) -> Iterator[SafeString]:
    """Of what is closed, over whatever stands beside it."""
    ground = field.problem.ground
    for row, area in zip(field.venue.closed, ground.closed, strict=True):
        start, end = _corners(scale, area)
        yield _label(scale, ground.extent, ((start[0] + end[0]) / 2, end[1] - 3), str(row["name"]))


def _label(scale: Scale, extent: engine.Box, at: Spot, words: str) -> SafeString:
    """Under the middle of what it names, but never over the drawing's edge."""
    (left, _low), (right, _high) = _corners(scale, extent)
    half = len(words) * LETTER_WIDE / 2
    if at[0] + half > right + EDGE:
        return text((right + EDGE - 2, at[1]), words, "end")
    return text((left - EDGE + 2, at[1]), words, "") if at[0] - half < left - EDGE else text(at, words, "middle")


def _walks(field: Field, scale: Scale) -> Iterator[SafeString]:
    """From one station to the next, as groups walk."""
    middles = [_middle(field, scale, place) for place in field.placed]
    for start, end in pairwise(middles + middles[:1] if len(middles) > 2 else middles):
        yield stroke((start, end), "ground-leg walk")
        yield tip(start, end, 0, far=0.55)


def _middle(field: Field, scale: Scale, place: engine.Place) -> Spot:
    x, y = field.problem.middle(place)
    return _at(scale, x / 20, y / 20)


def _station(field: Field, scale: Scale, place: engine.Place, state: tuple[frozenset[str], str]) -> SafeString:
    wrong, chosen = state
    problem, one = field.problem, place.station
    room, foot = _corners(scale, problem.room(place)), _corners(scale, problem.footprint(place))
    middle = _middle(field, scale, place)
    drawn = field.drawings.get(one)
    cones = [_at(scale, *on_ground(problem, place, _point(cone.at))) for cone in drawn.cones] if drawn else []
    parts = [box(*room, "ground-free"), box(*foot, "field-foot"), *map(_cone, cones)]
    parts += [disc(middle, 11, "field-disc"), text((middle[0], middle[1] + 5), problem.name(one), "strong middle")]
    if one in wrong:
        parts.append(text((foot[1][0] - 8, foot[1][1] + 16), "!", "strong middle field-cry"))
    kind = f"field-station{' wrong' if one in wrong else ''}{' chosen' if one == chosen else ''}"
    spot = f"{middle[0] / scale.factor:.2f},{-middle[1] / scale.factor:.2f}"
    return format_html('<g class="{}" data-station="{}" data-at="{}">{}</g>', kind, one, spot, join(parts))


def _point(at: Point) -> tuple[float, float]:
    return float(at[0]), float(at[1])


def _cone(at: Spot) -> SafeString:
    x, y = at
    return shape(((x - CONE, y + CONE), (x + CONE, y + CONE), (x, y - CONE)), "ground-cone")


def _points(field: Field, scale: Scale) -> Iterator[SafeString]:
    """Water: a drop's letter in a ring; first aid: a cross. Both also stand in words below."""
    ground = field.problem.ground
    if ground.water:
        at = _spot(scale, ground.water)
        yield disc(at, 9, "ground-empty")
        yield text((at[0], at[1] + 4.5), _("W"), "strong middle")
    if ground.first_aid:
        x, y = _spot(scale, ground.first_aid)
        yield box((x - 9, y - 9), (x + 9, y + 9), "ground-empty")
        yield stroke(((x - 6, y), (x + 6, y)), "ground-line")
        yield stroke(((x, y - 6), (x, y + 6)), "ground-line")


def _frame(scale: Scale, extent: engine.Box) -> Iterator[SafeString]:
    """Which way is north, and how long ten metres are."""
    left, top = _spot(scale, (extent.left, extent.top))
    x, y = left - EDGE / 2, top + 10
    yield stroke(((x, y + 12), (x, y - 8)), "ground-thin")
    yield shape(((x - 4, y - 4), (x + 4, y - 4), (x, y - 14)), "ground-tip")
    yield text((x, y + 26), _("N"), "middle")
    start = _spot(scale, (extent.left, extent.bottom))
    low, far = start[1] + EDGE, start[0] + RULER_M * scale.factor
    yield stroke(((start[0], low), (far, low)), "ground-measure")
    yield text((far + 6, low + 4), _("10 m"))
