"""The roster as a file that imports back unchanged. Health is never in it, adults only where they are asked for."""

from __future__ import annotations

from clubapp.core.registry import registry
from clubapp.people import csvfile
from clubapp.people.models import Athlete, Club
from clubapp.people.roster import adults, columns, snapshot
from clubapp.people.roster.preview import FIELDS
from clubapp.people.roster.snapshot import KINDS, Snapshot

Table = tuple[list[str], list[list[str]]]


def roster_file(club: Club) -> bytes:
    return csvfile.write(*table(club))


def table(club: Club, *, with_adults: bool = False) -> Table:
    """Every child of today by name: headings and rows."""
    now = snapshot.take(club)
    children = [child for child in now.athletes.values() if child.left_on is None]
    children.sort(key=lambda child: (child.given_name, child.family_name, snapshot.shown_id(child)))
    current = {name: column.current([child.pk for child in children]) for name, column in registry.columns.items()}
    header = columns.exported()
    widest = max((len(now.adults[child.pk]) for child in children), default=0)
    most = min(adults.MOST, widest) if with_adults else 0
    rows = [
        [current[name].get(child.pk, "") if name in current else _cell(name, child, now) for name in header]
        + adults.row_cells(now.adults[child.pk], most)
        for child in children
    ]
    return [*header, *(name for number in range(1, most + 1) for name in adults.names(number))], rows


def _cell(name: str, child: Athlete, now: Snapshot) -> str:
    if name == "id":
        return snapshot.shown_id(child)
    if name in KINDS:
        return _labels(now.labels[name].get(child.pk, set()))
    if name == "squads":
        return _labels({now.squad_names[pk] for pk in now.squads.get(child.pk, set())})
    if name == "birth_year" and child.date_of_birth:
        return ""
    value = getattr(child, FIELDS[name])
    return "" if value is None else str(value)


def _labels(labels: set[str]) -> str:
    return ";".join(sorted(labels))
