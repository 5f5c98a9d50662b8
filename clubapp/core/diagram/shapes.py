"""A ground as plain data: cones, lines, ways, people and kit in metres, yards or feet, as they are measured out.

The house has this one schema: timed tests are written in it, and the drawings of activities are read into it from
their files (`reading`). x goes to the right and y up the drawing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum
from itertools import pairwise

Number = int | Decimal
Point = tuple[Number, Number]


class Gait(StrEnum):
    """How a leg is covered."""

    RUN = "run"
    SHUFFLE = "shuffle"  # sideways, feet do not cross
    BACK = "back"
    JUMP = "jump"
    RUN_IN = "run-in"  # on the way to the start of the time
    WALK = "walk"
    DRIBBLE = "dribble"  # with a ball at the foot or the hand
    FLIGHT = "flight"  # of a ball, nobody moves


class Who(StrEnum):
    """Whom a drawing shows."""

    CHILD = "child"  # whose turn it is
    WAITING = "waiting"
    CHASER = "chaser"
    ADULT = "adult"


class What(StrEnum):
    """Kit that lies or stands on the ground, apart from cones."""

    BALL = "ball"
    HOOP = "hoop"
    MARKER = "marker"
    BEANBAG = "beanbag"
    HURDLE = "hurdle"
    MAT = "mat"


class Side(StrEnum):
    """Of the drawing."""

    TOP = "top"
    RIGHT = "right"
    BOTTOM = "bottom"
    LEFT = "left"


@dataclass(frozen=True)
class Cone:
    at: Point
    name: str = ""


@dataclass(frozen=True)
class Line:
    """A line on the ground. name: a word of `words.line_word`, or anything short."""

    start: Point
    end: Point
    name: str = ""


@dataclass(frozen=True)
class Straight:
    """From one point to another."""

    start: Point
    end: Point

    @property
    def length(self) -> Decimal:
        return length(self.start, self.end)


@dataclass(frozen=True)
class Leg(Straight):
    """One straight part of the way. aside: steps it is drawn beside its true place: legs would hide one another."""

    gait: Gait = Gait.RUN
    aside: float = 0


@dataclass(frozen=True)
class Measure(Straight):
    """A length to write into the drawing; aside as in `Leg`."""

    aside: float = 0


@dataclass(frozen=True)
class Path:
    """A way that somebody or a ball takes, from point to point."""

    points: tuple[Point, ...]
    gait: Gait = Gait.RUN

    @property
    def length(self) -> Decimal:
        return sum((length(start, end) for start, end in pairwise(self.points)), Decimal(0))


@dataclass(frozen=True)
class Person:
    at: Point
    who: Who = Who.CHILD


@dataclass(frozen=True)
class Item:
    at: Point
    what: What


@dataclass(frozen=True)
class Area:
    """A marked part of the ground, from its lower left corner."""

    corner: Point
    size: Point
    name: str = ""


@dataclass(frozen=True)
class Room:
    """What a set-up needs: its footprint, and how far the ground must be free beyond a side of it (the run-out)."""

    wide: Number
    long: Number
    beyond: Mapping[Side, Number] = field(default_factory=dict)

    @property
    def corners(self) -> tuple[Point, Point]:
        """Lower left and upper right, the run-outs with them."""
        free = {side: self.beyond.get(side, 0) for side in Side}
        return (-free[Side.LEFT], -free[Side.BOTTOM]), (self.wide + free[Side.RIGHT], self.long + free[Side.TOP])

    def holds(self, at: Point) -> bool:
        """Whether a point lies in the footprint; its edge belongs to it."""
        return 0 <= at[0] <= self.wide and 0 <= at[1] <= self.long


@dataclass(frozen=True)
class Layout:
    """Everything in one unit: "m", "yd" or "ft". A timed test has legs, an activity a room and paths."""

    unit: str
    legs: tuple[Leg, ...] = ()
    measures: tuple[Measure, ...] = ()
    cones: tuple[Cone, ...] = ()
    lines: tuple[Line, ...] = ()
    paths: tuple[Path, ...] = ()
    people: tuple[Person, ...] = ()
    items: tuple[Item, ...] = ()
    areas: tuple[Area, ...] = ()
    room: Room | None = None

    @property
    def length(self) -> Decimal:
        """Of the way that counts, a run-in left out."""
        return sum((leg.length for leg in self.legs if leg.gait is not Gait.RUN_IN), Decimal(0))

    @property
    def points(self) -> list[Point]:
        """Every place that is named, the ends of paths and areas with them."""
        ends: list[Leg | Measure | Line] = [*self.legs, *self.measures, *self.lines]
        standing: list[Cone | Person | Item] = [*self.cones, *self.people, *self.items]
        found = [one.at for one in standing]
        found += [point for part in ends for point in (part.start, part.end)]
        found += [point for path in self.paths for point in path.points]
        return found + [point for area in self.areas for point in (area.corner, far_corner(area))]


def far_corner(area: Area) -> Point:
    return area.corner[0] + area.size[0], area.corner[1] + area.size[1]


def length(start: Point, end: Point) -> Decimal:
    """Exact along either axis, else to Decimal's 28 digits."""
    across, along = Decimal(end[0]) - Decimal(start[0]), Decimal(end[1]) - Decimal(start[1])
    return max(abs(across), abs(along)) if not across or not along else (across * across + along * along).sqrt()


def through(*points: Point, gait: Gait = Gait.RUN) -> tuple[Leg, ...]:
    """Legs from point to point."""
    return tuple(Leg(start, end, gait) for start, end in pairwise(points))
