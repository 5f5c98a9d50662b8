"""What a test needs before the club has a row for it; and straight sprints, which need no setting up at all."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext as _


@dataclass(frozen=True)
class Starter:
    """A test before the club has a row for it; the fields are those of the row."""

    code: str
    name: str
    distance: Decimal | int | None = None
    distance_unit: str = "m"
    unit: str = "s"
    better: str = "less"
    hand_rounding: bool = True
    attempts: int = 2
    least: int | None = None
    most: int | None = None


LENGTHS = ((10, "m"), (20, "m"), (30, "m"), (40, "m"), (60, "m"), (10, "yd"), (20, "yd"), (40, "yd"))
FASTEST_M_S, SLOWEST_M_S = 10, 2  # our rule of thumb: no child runs out of this range, a slip of the finger does
REACTION_MS = 500


def starters() -> list[Starter]:
    """Straight sprints, in metres and in yards."""
    return [_sprint(length, unit) for length, unit in LENGTHS]


def _sprint(length: int, unit: str) -> Starter:
    name = _("Sprint %(n)d m") if unit == "m" else _("Sprint %(n)d yd")
    metres = length * (Decimal(1) if unit == "m" else Decimal("0.9144"))
    least, most = (int(metres / speed * 10) * 100 + REACTION_MS for speed in (FASTEST_M_S, SLOWEST_M_S))
    return Starter(f"sprint-{length}-{unit}", name % {"n": length}, length, unit, least=least, most=most)
