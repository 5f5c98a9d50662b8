"""How long a club keeps what, and what is older than that: read here, never removed here."""

from __future__ import annotations

import hashlib
import json
from calendar import monthrange
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from clubapp.core.registry import Keeping, registry
from clubapp.people.models import Club, Concern

CONCERNS = "concerns"


@dataclass(frozen=True)
class Going:
    """What is older than its period. lines: a sentence for each thing."""

    keeping: Keeping
    first_kept: date
    lines: tuple[str, ...]


def months(club: Club, name: str) -> int:
    """The club's own period, or the usual one."""
    usual = registry.keepings[name].months
    said = club.periods.get(name, usual)
    return said if isinstance(said, int) else usual


def later(day: date, months: int) -> date:
    """The same day so many months on, or back; the last one of a month that is too short for it."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def kept_until(club: Club, name: str, day: date) -> date:
    """The last day of what is of this day."""
    return later(day, months(club, name))


def first_kept(club: Club, name: str) -> date:
    """What is from before this day has had its time."""
    return later(club.today(), -months(club, name))


def concern_until(row: Concern) -> date:
    """Its last day. Written before the day was kept with it: the usual time at least."""
    if row.until is not None:
        return row.until
    period = max(months(row.club, CONCERNS), registry.keepings[CONCERNS].months)
    return later(row.club.today(row.at), period)


def going(club: Club) -> list[Going]:
    """All that a clean-up would remove today; what children's pages show first, the log last."""
    found = []
    for keeping in reversed(registry.keepings.values()):
        first = first_kept(club, keeping.name)
        lines = tuple(keeping.goes(club.pk, first)) if keeping.clear else ()
        if lines:
            found.append(Going(keeping, first, lines))
    return found


def mark_of(found: Iterable[Going]) -> str:
    """Stands for exactly this list: what was shown is what is removed."""
    told = json.dumps([[one.keeping.name, *map(str, one.lines)] for one in found])
    return hashlib.sha256(told.encode()).hexdigest()[:32]
