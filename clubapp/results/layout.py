"""A test's ground as plain data: cones, lines and ways in metres, yards or feet, exactly as they are measured out."""

from __future__ import annotations

from dataclasses import dataclass
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


@dataclass(frozen=True)
class Cone:
    at: Point
    name: str = ""


@dataclass(frozen=True)
class Line:
    """A line on the ground. name: "start", "finish", "turn", "gate" or ""."""

    start: Point
    end: Point
    name: str = ""


@dataclass(frozen=True)
class Leg:
    """One straight part of the way. aside: steps it is drawn beside its true place: legs would hide one another."""

    start: Point
    end: Point
    gait: Gait = Gait.RUN
    aside: float = 0

    @property
    def length(self) -> Decimal:
        return length(self.start, self.end)


@dataclass(frozen=True)
class Measure:
    """A length to write into the drawing; aside as in `Leg`."""

    start: Point
    end: Point
    aside: float = 0

    @property
    def length(self) -> Decimal:
        return length(self.start, self.end)


@dataclass(frozen=True)
class Layout:
    """Everything in one unit: "m", "yd" or "ft"."""

    unit: str
    legs: tuple[Leg, ...]
    measures: tuple[Measure, ...]
    cones: tuple[Cone, ...] = ()
    lines: tuple[Line, ...] = ()

    @property
    def length(self) -> Decimal:
        """Of the way that counts, a run-in left out."""
        return sum((leg.length for leg in self.legs if leg.gait is not Gait.RUN_IN), Decimal(0))


def length(start: Point, end: Point) -> Decimal:
    """Exact along either axis, else to Decimal's 28 digits."""
    across, along = Decimal(end[0]) - Decimal(start[0]), Decimal(end[1]) - Decimal(start[1])
    return max(abs(across), abs(along)) if not across or not along else (across * across + along * along).sqrt()


def through(*points: Point, gait: Gait = Gait.RUN) -> tuple[Leg, ...]:
    """Legs from point to point."""
    return tuple(Leg(start, end, gait) for start, end in pairwise(points))
