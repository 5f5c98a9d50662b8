"""A ground drawn to scale as SVG, for phone and paper. Colours and strokes are the style sheet's."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from clubapp.core.diagram import marks, ways
from clubapp.core.diagram.marks import BEYOND, LETTER, Sign
from clubapp.core.diagram.shapes import Area, Layout, Leg, Line, Measure, Path, Point, Room, Side, What, Who, far_corner
from clubapp.core.diagram.strokes import Scale, Spot, box, disc, join, n, normal, scale_of, spots_of, stroke, text
from clubapp.core.diagram.words import gait_word, in_words, length_words, line_word, side_word, what_word, who_word

PAGE, EDGE = 352.0, 26.0
RINGED = 13.0
ROW = LETTER * 1.4


def svg(layout: Layout, name: str, ringed: Iterable[Point] = ()) -> SafeString:
    """The whole drawing; `name` and the legs in words are what a reader who does not see it hears.

    ringed: places to be marked, while somebody is changing the drawing. `data-scale` is units a metre: the lower left
    corner of the footprint is the drawing's origin, so a tap is told in metres by one division.
    """
    scale = scale_of(layout)
    spots = spots_of(layout, scale)
    left, right = min(x for x, _y in spots), max(x for x, _y in spots)
    left -= max(EDGE, (PAGE - right + left) / 2)
    right = left + max(PAGE, right + EDGE - left)
    top, bottom = min(y for _x, y in spots) - EDGE, max(y for _x, y in spots) + EDGE
    middle = (top + bottom) / 2
    rows, key = _key(layout, left + EDGE, bottom + LETTER * 0.4)
    bottom += ROW * rows + LETTER * 0.4
    return format_html(
        '<svg class="ground" viewBox="{} {} {} {}" data-scale="{}" role="img" aria-label="{}">{}{}{}</svg>',
        *(n(value) for value in (left, top, right - left, bottom - top)),
        f"{scale.factor:.4f}",
        f"{name}. {' '.join(in_words(layout))}",
        join(_layers(layout, scale, middle)),
        join(disc(scale.spot(at), RINGED, "ground-chosen") for at in ringed),
        key,
    )


def _layers(layout: Layout, scale: Scale, middle: float) -> Iterator[SafeString]:
    """From the ground up: what stands on it hides what lies on it."""
    if layout.room:
        yield from _room(layout.room, scale, layout.unit)
    yield from (_area(scale, area) for area in layout.areas)
    yield from (_measure(scale, measure, layout.unit) for measure in layout.measures)
    yield from (_line(scale.spot(line.start), scale.spot(line.end), line) for line in layout.lines)
    yield from ways.legs(scale, layout.legs)
    yield from (ways.path(scale, path) for path in layout.paths)
    yield from (marks.item(one.what)(scale.spot(one.at)) for one in layout.items)
    yield from (marks.cone(scale.spot(one.at), one.name, middle) for one in layout.cones)
    yield from (marks.person(one.who)(scale.spot(one.at)) for one in layout.people)


def _room(room: Room, scale: Scale, unit: str) -> Iterator[SafeString]:
    """The footprint, and what has to be free beyond it, with its length written in."""
    yield box(scale.spot((0, 0)), scale.spot((room.wide, room.long)), "ground-room")
    low, high = room.corners
    ends = {
        Side.TOP: ((0, room.long), (room.wide, high[1])),
        Side.RIGHT: ((room.wide, 0), (high[0], room.long)),
        Side.BOTTOM: ((0, low[1]), (room.wide, 0)),
        Side.LEFT: ((low[0], 0), (0, room.long)),
    }
    for side, metres in room.beyond.items():
        start, end = (scale.spot(corner) for corner in ends[side])
        yield box(start, end, "ground-free")
        words = _("%(far)s free") % {"far": length_words(metres, unit)}
        yield text(((start[0] + end[0]) / 2, (start[1] + end[1]) / 2 + 4), words, "middle")


def _area(scale: Scale, area: Area) -> SafeString:
    start, end = scale.spot(area.corner), scale.spot(far_corner(area))
    label = text((min(start[0], end[0]) + 4, min(start[1], end[1]) + 13), area.name) if area.name else ""
    return format_html("{}{}", box(start, end, "ground-area"), label)


def _line(start: Spot, end: Spot, line: Line) -> SafeString:
    at = (max(start[0], end[0]), min(start[1], end[1]) - 6)
    label = text(at, line_word(line.name), "middle") if line.name else ""
    return format_html("{}{}", stroke((start, end), "ground-line"), label)


def _measure(scale: Scale, measure: Measure, unit: str) -> SafeString:
    start, end = scale.beside(measure.start, measure.end, measure.aside)
    across, along = normal(start, end)
    ends = [
        ((x - across * BEYOND, y - along * BEYOND), (x + across * BEYOND, y + along * BEYOND)) for x, y in (start, end)
    ]
    ticks = join(stroke(tick, "ground-measure") for tick in ends)
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    words = length_words(round(measure.length, 2), unit)
    if abs(along) > abs(across):
        label = text((x, y - 5), words, "middle")
    else:
        label = text((x - 7, y + 5), words, "end") if measure.aside < 0 else text((x + 7, y + 5), words)
    return format_html("{}{}{}", stroke((start, end), "ground-measure"), ticks, label)


# --- the key under it ------------------------------------------------------------------------------------------------


def _key(layout: Layout, left: float, top: float) -> tuple[int, SafeString]:
    """Every kind of way, person and kit once; in two columns where there is a room. Answers with its rows, too."""
    entries = [*_ways_of(layout), *_signs_of(layout)]
    columns = 2 if layout.room else 1
    drawn = []
    for number, (sign, word) in enumerate(entries):
        x, y = left + number % columns * (PAGE / 2 - EDGE), top + ROW * (number // columns) + LETTER * 0.4
        drawn += [sign((x, y)), text((x + 38, y + 5), word)]
    return -(-len(entries) // columns), join(drawn)


def _ways_of(layout: Layout) -> Iterator[tuple[Sign, str]]:
    moves: list[Leg | Path] = [*layout.legs, *layout.paths]
    for gait in dict.fromkeys(way.gait for way in moves):
        yield partial(ways.sample, gait), gait_word(gait) if layout.legs else gait_word(gait).split(",")[0]


def _signs_of(layout: Layout) -> Iterator[tuple[Sign, str]]:
    if layout.room and layout.cones:
        yield _inset(lambda at: marks.cone(at, "", 0)), _("cone")
    for who in Who:
        if any(person.who is who for person in layout.people):
            yield _inset(marks.person(who)), who_word(who)
    for what in What:
        if any(item.what is what for item in layout.items):
            yield _inset(marks.item(what)), what_word(what)


def _inset(sign: Sign) -> Sign:
    return lambda at: sign((at[0] + 15, at[1]))


def beyond_words(room: Room, unit: str) -> list[str]:
    """Each run-out as a coach says it: "18 m beyond the top"."""
    return [
        _("%(far)s beyond the %(side)s") % {"far": length_words(metres, unit), "side": side_word(side)}
        for side, metres in room.beyond.items()
    ]
