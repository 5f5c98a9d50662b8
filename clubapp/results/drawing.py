"""A layout drawn to scale as SVG, for phone and paper. Colours and strokes are the style sheet's."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from clubapp.results.layout import Gait, Layout, Leg, Line, Measure, Point

WIDE, HIGH = 300.0, 330.0  # of the ground itself, in units of the drawing: a phone shows about a pixel for each
PAGE, EDGE = 352.0, 26.0
STEP, NARROW, MANY = 11.0, 7.0, 6  # between legs drawn beside one another; narrower where there are many
BEYOND = 4.0
RISE = 0.08  # of a jump's length
CONE, TIP = 6.0, 4.5
LETTER = 16.0
FAR, ARRIVED = 0.85, 0.97
TENTH = Decimal("0.1")

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
        across, along = _normal((x1, y1), (x2, y2))
        dx, dy = across * aside * self.step, along * aside * self.step
        return (x1 + dx, y1 + dy), (x2 + dx, y2 + dy)


def _normal(start: Spot, end: Spot) -> Spot:
    """Down the page for a level leg, to the right for an upright one."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    size = math.hypot(dx, dy) or 1.0
    sign = 1.0 if (dx, -dy) > (0.0, 0.0) else -1.0
    return -dy * sign / size, dx * sign / size


def _points(layout: Layout) -> list[Point]:
    ends: list[Leg | Measure | Line] = [*layout.legs, *layout.measures, *layout.lines]
    return [cone.at for cone in layout.cones] + [point for part in ends for point in (part.start, part.end)]


def _scale(layout: Layout) -> Scale:
    across, along = zip(*((float(x), float(y)) for x, y in _points(layout)), strict=True)
    wide, high = max(across) - min(across), max(along) - min(along)
    step = NARROW if len(layout.legs) > MANY and any(leg.aside for leg in layout.legs) else STEP
    return Scale(min(WIDE / wide if wide else math.inf, HIGH / high if high else math.inf), step)


def svg(layout: Layout, name: str) -> SafeString:
    """The whole drawing; `name` and the legs in words are what a reader who does not see it hears."""
    scale = _scale(layout)
    spots = [scale.spot(at) for at in _points(layout)]
    drawn: list[Leg | Measure] = [*layout.legs, *layout.measures]
    for part in drawn:
        spots += scale.beside(part.start, part.end, part.aside)
    left, right = min(x for x, _y in spots), max(x for x, _y in spots)
    left -= max(EDGE, (PAGE - right + left) / 2)
    right = left + max(PAGE, right + EDGE - left)
    top, bottom = min(y for _x, y in spots) - EDGE, max(y for _x, y in spots) + EDGE
    middle = (top + bottom) / 2
    key = _key(layout, left + EDGE, bottom + LETTER * 0.4)
    bottom += LETTER * (1.4 * len(_gaits(layout)) + 0.4)
    return format_html(
        '<svg class="ground" viewBox="{} {} {} {}" role="img" aria-label="{}">{}{}{}{}{}</svg>',
        *(_n(value) for value in (left, top, right - left, bottom - top)),
        f"{name}. {' '.join(in_words(layout))}",
        _join(_measure(scale, measure, layout.unit) for measure in layout.measures),
        _join(_line(scale.spot(line.start), scale.spot(line.end), line.name) for line in layout.lines),
        _join(_legs(scale, layout.legs)),
        _join(_cone(scale.spot(cone.at), cone.name, middle) for cone in layout.cones),
        key,
    )


def _join(parts: Iterable[SafeString]) -> SafeString:
    return format_html_join("", "{}", ((part,) for part in parts))


def _n(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _text(at: Spot, words: str, kind: str = "") -> SafeString:
    return format_html('<text x="{}" y="{}" class="ground-text {}">{}</text>', _n(at[0]), _n(at[1]), kind, words)


def _stroke(spots: Iterable[Spot], kind: str) -> SafeString:
    return format_html('<polyline points="{}" class="{}"/>', " ".join(f"{_n(x)},{_n(y)}" for x, y in spots), kind)


def _line(start: Spot, end: Spot, name: str) -> SafeString:
    label = _text((max(start[0], end[0]), min(start[1], end[1]) - 6), line_word(name), "middle") if name else ""
    return format_html("{}{}", _stroke((start, end), "ground-line"), label)


def _cone(at: Spot, name: str, middle: float) -> SafeString:
    """Its name stands outside: above the upper ones, below the lower ones."""
    x, y = at
    shape = f"{_n(x - CONE)},{_n(y + CONE)} {_n(x + CONE)},{_n(y + CONE)} {_n(x)},{_n(y - CONE)}"
    below = y + CONE + LETTER if y > middle else y - CONE - BEYOND
    label = _text((x, below), name, "strong middle") if name else ""
    return format_html('<polygon points="{}" class="ground-cone"/>{}', shape, label)


def _measure(scale: Scale, measure: Measure, unit: str) -> SafeString:
    start, end = scale.beside(measure.start, measure.end, measure.aside)
    across, along = _normal(start, end)
    ends = [
        ((x - across * BEYOND, y - along * BEYOND), (x + across * BEYOND, y + along * BEYOND)) for x, y in (start, end)
    ]
    ticks = _join(_stroke(tick, "ground-measure") for tick in ends)
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    words = length_words(measure.length, unit)
    if abs(along) > abs(across):
        label = _text((x, y - 5), words, "middle")
    else:
        label = _text((x - 7, y + 5), words, "end") if measure.aside < 0 else _text((x + 7, y + 5), words)
    return format_html("{}{}{}", _stroke((start, end), "ground-measure"), ticks, label)


def _legs(scale: Scale, legs: tuple[Leg, ...]) -> Iterator[SafeString]:
    """Each leg begins where the last one ended, so that turns are seen; an arrow and its number on it."""
    last: Spot | None = None
    for number, leg in enumerate(legs, start=1):
        start, end = scale.beside(leg.start, leg.end, leg.aside)
        if leg.gait is Gait.JUMP:
            yield _bow(start, end)
        else:
            yield _stroke([*([last] if last else []), start, end], f"ground-leg {leg.gait}")
        yield _tip(start, end, number if len(legs) > 1 else 0, far=ARRIVED if leg.gait is Gait.JUMP else FAR)
        last = end


def _bow(start: Spot, end: Spot) -> SafeString:
    rise = (end[0] - start[0]) * RISE * 2
    path = (
        f"M{_n(start[0])},{_n(start[1])} Q{_n((start[0] + end[0]) / 2)},{_n(start[1] - rise)} {_n(end[0])},{_n(end[1])}"
    )
    return format_html('<path d="{}" class="ground-leg jump"/>', path)


def _tip(start: Spot, end: Spot, number: int, far: float) -> SafeString:
    """The arrow behind most of the way, the number at a third."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    size = math.hypot(dx, dy) or 1.0
    ux, uy = dx / size, dy / size
    x, y = start[0] + dx * far, start[1] + dy * far
    corners = ((x + ux * TIP, y + uy * TIP), (x - ux * TIP - uy * TIP, y - uy * TIP + ux * TIP),
               (x - ux * TIP + uy * TIP, y - uy * TIP - ux * TIP))  # fmt: skip
    shape = format_html('<polygon points="{}" class="ground-tip"/>', " ".join(f"{_n(a)},{_n(b)}" for a, b in corners))
    if not number:
        return shape
    at = (start[0] + dx / 3, start[1] + dy / 3)
    disc = format_html('<circle cx="{}" cy="{}" r="6" class="ground-disc"/>', _n(at[0]), _n(at[1]))
    return format_html("{}{}{}", shape, disc, _text((at[0], at[1] + 3.5), str(number), "number middle"))


# --- in words --------------------------------------------------------------------------------------------------------


def length_words(length: object, unit: str) -> str:
    text = f"{length}"
    return f"{text.rstrip('0').rstrip('.') if '.' in text else text} {unit}"


def line_word(name: str) -> str:
    words = {
        "start": _("start"), "finish": _("finish"), "turn": _("turn"), "gate": _("gate"), "run-in": _("run-in"),
        "heel": _("heel"),
    }  # fmt: skip
    return words.get(name, name)


def gait_word(gait: Gait) -> str:
    words = {
        Gait.RUN: _("run"), Gait.SHUFFLE: _("sideways, feet not crossing"), Gait.BACK: _("backwards"),
        Gait.JUMP: _("jump or hop"), Gait.RUN_IN: _("run-in, before the time starts"),
    }  # fmt: skip
    return words[gait]


def _gaits(layout: Layout) -> list[Gait]:
    return list(dict.fromkeys(leg.gait for leg in layout.legs))


def _key(layout: Layout, left: float, top: float) -> SafeString:
    rows = []
    for number, gait in enumerate(_gaits(layout)):
        y = top + LETTER * (1.4 * number + 0.4)
        rows.append(_stroke(((left, y), (left + 30, y)), f"ground-leg {gait}"))
        rows.append(_text((left + 38, y + 5), gait_word(gait)))
    return _join(rows)


def in_words(layout: Layout) -> list[str]:
    """Each leg as a sentence."""
    names = {cone.at: cone.name for cone in layout.cones if cone.name}
    told = []
    for number, leg in enumerate(layout.legs, start=1):
        said = {"n": number, "how": gait_word(leg.gait), "to": names.get(leg.end, ""), "far": _far(layout, leg)}
        told.append(
            _("%(n)d: %(how)s to %(to)s, %(far)s.") % said if said["to"] else _("%(n)d: %(how)s, %(far)s.") % said
        )
    return told


def _far(layout: Layout, leg: Leg) -> str:
    if leg.gait is Gait.JUMP:
        return _("as far as it goes")
    return length_words(leg.length.quantize(TENTH) if leg.length % 1 else leg.length, layout.unit)
