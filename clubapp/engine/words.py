"""Shared frozen nouns of the engine."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from types import MappingProxyType

EMPTY: Mapping[str, float] = MappingProxyType({})
DAYS_IN_A_YEAR = 365.25
# Groups are called by the colour they wear; each initial stands once, for it is what a print in black and white shows.
BIBS = (
    "Red",
    "Blue",
    "Green",
    "Yellow",
    "Orange",
    "Violet",
    "White",
    "Pink",
    "Teal",
    "Lime",
    "Navy",
    "Silver",
)


@dataclass(frozen=True)
class Athlete:
    """A child as the engine sees one.

    id: opaque and unique within a problem.
    values: measured attributes by name ("speed_s", "skill"); a missing value is simply absent.
    kinds: what a child may not be alone as, "sex:f" or "first_timer:yes", lower case.
    born: date of birth, or None if nobody wrote it down.
    Raises ValueError for a value that is not a finite number.
    """

    id: str
    values: Mapping[str, float] = field(default_factory=lambda: EMPTY)
    kinds: frozenset[str] = frozenset()
    born: date | None = None

    def __post_init__(self) -> None:
        for name, value in self.values.items():
            if not math.isfinite(value):
                raise ValueError(f"{name} of {self.id} is not a finite number: {value}")


@dataclass(frozen=True)
class Station:
    """A place where a group works. x_m, y_m in metres, both None where no place is known."""

    id: str
    x_m: float | None = None
    y_m: float | None = None
    hard: bool = False
    groups_min: int = 0
    groups_max: int = 1
    kit: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))


def age_days(born: date, on: date) -> int:
    """Age in days from birth to the session's date."""
    return (on - born).days


def completed_years(born: date, on: date) -> int:
    """Whole years of age on a date; a child born on 29 February has the birthday on 1 March in a common year."""
    return on.year - born.year - ((on.month, on.day) < (born.month, born.day))


def bib_names(count: int) -> tuple[str, ...]:
    """As many different names as asked: the plain colours first, then the same colours with a number from 2."""
    return tuple(
        BIBS[index % len(BIBS)] + (f" {index // len(BIBS) + 1}" if index >= len(BIBS) else "") for index in range(count)
    )
