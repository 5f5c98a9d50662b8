"""The line of results as shapes on a plane: pure sums, drawn by a template. Up is better, whatever the test's unit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date

WIDTH, HEIGHT = 360, 228
LEFT, RIGHT, TOP, BOTTOM = 46, 14, 26, 44
ASIDE, SHORT = 26, 18  # of the first and the last spot from the edges: beside the first stands the scale
STEPS = (1, 2, 5)
MOST_LINES = 5
APART = 66  # pixels between two dates that are written down


@dataclass(frozen=True)
class Spot:
    """A day. odd: another surface or timing; best: the personal best was then; label: the value, where written."""

    on: date
    value: float
    odd: bool = False
    best: bool = False
    label: str = ""


@dataclass(frozen=True)
class Mark:
    """Where a spot stands; `under`: whether its label stands below it."""

    x: float
    y: float
    spot: Spot
    under: bool = False


@dataclass(frozen=True)
class Beside:
    """A published line; its name ends at x, y."""

    name: str
    path: str
    x: float
    y: float


@dataclass(frozen=True)
class Band:
    """Ordinary variation, from edge to edge."""

    y: float
    height: float


@dataclass(frozen=True)
class Drawing:
    """Coordinates of one picture. across: heights with their values; along: places with their days."""

    marks: tuple[Mark, ...]
    path: str
    across: tuple[tuple[float, float], ...]
    along: tuple[tuple[float, date], ...]
    band: Band | None = None
    beside: tuple[Beside, ...] = ()
    width: int = WIDTH
    height: int = HEIGHT
    left: int = LEFT
    right: int = WIDTH - RIGHT
    wide: int = WIDTH - RIGHT - LEFT


@dataclass(frozen=True)
class Asked:
    """What to draw. up: larger values are better. beside: published values by name, as steps in time."""

    spots: Sequence[Spot]
    up: bool
    band: tuple[float, float] | None = None
    beside: Sequence[tuple[str, Sequence[tuple[date, float]]]] = field(default_factory=tuple)


def draw(asked: Asked) -> Drawing:
    """At least one spot."""
    scale = _Scale(asked)
    marks = tuple(Mark(scale.x(spot.on), scale.y(spot.value), spot, _under(asked, spot)) for spot in asked.spots)
    band = None
    if asked.band is not None:
        ends = sorted(scale.y(value) for value in asked.band)
        band = Band(ends[0], round(ends[1] - ends[0], 1))
    return Drawing(
        marks=marks,
        path=_path([(mark.x, mark.y) for mark in marks if not mark.spot.odd]),
        across=tuple((scale.y(value), value) for value in scale.lines),
        along=_dates(marks),
        band=band,
        beside=tuple(_published(scale, name, steps) for name, steps in asked.beside),
    )


class _Scale:
    """From days and values to the plane."""

    def __init__(self, asked: Asked) -> None:
        values = [spot.value for spot in asked.spots] + list(asked.band or ())
        values += [value for _name, steps in asked.beside for _on, value in steps]
        self.lines = round_values(min(values), max(values))
        self.low, self.high, self.up = self.lines[0], self.lines[-1], asked.up
        days = [spot.on for spot in asked.spots]
        self.first, self.days = min(days), (max(days) - min(days)).days

    def x(self, on: date) -> float:
        share = (on - self.first).days / self.days if self.days else 0.5
        return round(LEFT + ASIDE + share * (WIDTH - RIGHT - LEFT - ASIDE - SHORT), 1)

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return round(TOP + (1 - share if self.up else share) * (HEIGHT - BOTTOM - TOP), 1)


def round_values(low: float, high: float) -> list[float]:
    """Two to six round values, evenly apart, from below the lowest to above the highest; at least 1 apart."""
    wide = max(high - low, 1.0) * 1.1
    power = 10.0 ** math.floor(math.log10(wide / MOST_LINES))
    step = max(1.0, next(size * power for size in (*STEPS, 10) if wide / (size * power) <= MOST_LINES))
    first = math.floor(low / step)
    last = max(math.ceil(high / step), first + 1)
    return [number * step for number in range(first, last + 1)]


def _under(asked: Asked, spot: Spot) -> bool:
    """A label keeps out of the line's way: below a spot that is worse than its neighbour."""
    line = [other for other in asked.spots if not other.odd]
    if spot not in line or len(line) < 2:
        return False
    at = line.index(spot)
    beside = line[at - 1] if at else line[1]
    return (spot.value < beside.value) == asked.up


def _path(points: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{'L' if at else 'M'}{x:g} {y:g}" for at, (x, y) in enumerate(points))


def _dates(marks: Sequence[Mark]) -> tuple[tuple[float, date], ...]:
    """The first and the last, and those between that have room."""
    shown = [marks[0]]
    for mark in marks[1:-1]:
        if mark.x - shown[-1].x >= APART and marks[-1].x - mark.x >= APART:
            shown.append(mark)
    if marks[-1].x - shown[-1].x >= APART:
        shown.append(marks[-1])
    return tuple((mark.x, mark.spot.on) for mark in shown)


def _published(scale: _Scale, name: str, steps: Sequence[tuple[date, float]]) -> Beside:
    """From edge to edge: a birthday is a step."""
    points = [(scale.x(on), scale.y(value)) for on, value in steps]
    points = [(LEFT, points[0][1]), *points, (WIDTH - RIGHT, points[-1][1])]
    return Beside(name, _path(points), WIDTH - RIGHT, points[-1][1])
