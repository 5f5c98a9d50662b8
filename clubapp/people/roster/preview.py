"""What a file would do to the club, row by row, before anything is done."""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any
from uuid import UUID

from django.core.serializers.json import DjangoJSONEncoder
from django.utils.translation import gettext as _

from clubapp.core.registry import registry
from clubapp.people.models import Athlete
from clubapp.people.roster import adults, matching
from clubapp.people.roster.columns import TITLES
from clubapp.people.roster.matching import Match
from clubapp.people.roster.rows import Said
from clubapp.people.roster.snapshot import KINDS, Snapshot

# Our name of a column -> the field of the model.
FIELDS = {
    "id": "roster_id",
    "given_name": "given_name",
    "family_name": "family_name",
    "known_as": "known_as",
    "date_of_birth": "date_of_birth",
    "birth_year": "birth_year",
    "sex": "sex",
    "skill": "skill",
    "joined": "joined_on",
}


class State(StrEnum):
    WRONG = "wrong"
    NEW = "new"
    CHANGED = "changed"
    SAME = "same"


@dataclass(frozen=True)
class Change:
    """One value before and after, by our name of the column, and both as the coach reads them."""

    column: str
    before: Any
    after: Any
    was: str = ""
    becomes: str = ""

    @property
    def title(self) -> str:
        return str(TITLES.get(self.column, self.column))


@dataclass(frozen=True)
class PreviewRow:
    """One row of the file, what it would do, and why not."""

    number: int
    name: str
    state: State
    athlete: Athlete | None
    said: Said
    changes: tuple[Change, ...] = ()
    faults: tuple[str, ...] = ()
    remark: str = ""


@dataclass(frozen=True)
class Preview:
    """Every row, wrong ones first, then as they stand in the file."""

    rows: tuple[PreviewRow, ...]
    counts: Mapping[str, int] = field(default_factory=dict)

    @property
    def fit(self) -> bool:
        """All or nothing: one wrong row stops the import."""
        return not self.counts[State.WRONG]

    @property
    def digest(self) -> str:
        """Changes with everything the coach was shown, so that only what was seen is confirmed."""
        shown = [
            (
                row.number,
                row.state,
                str(row.athlete.pk if row.athlete else ""),
                [(c.column, c.after) for c in row.changes],
            )
            for row in self.rows
        ]
        return hashlib.sha256(json.dumps(shown, cls=DjangoJSONEncoder).encode()).hexdigest()


def preview(said: Sequence[Said], club: Snapshot) -> Preview:
    pairs = [(row, matching.match(row, club)) for row in said]
    twice = matching.doubles(pairs)
    current = _registered(pairs)
    rows = [_row(row, found, twice.get(row.number), _Now(club, current)) for row, found in pairs]
    counts = Counter(row.state for row in rows)
    rows.sort(key=lambda row: (row.state != State.WRONG, row.number))
    return Preview(tuple(rows), {state.value: counts[state] for state in State})


@dataclass(frozen=True)
class _Now:
    """What stands in the club now: our own columns, and the cells of other apps' columns."""

    club: Snapshot
    registered: Mapping[str, Mapping[UUID, str]]


def _registered(pairs: Iterable[tuple[Said, Match]]) -> dict[str, Mapping[UUID, str]]:
    known = [found.athlete.pk for _said, found in pairs if found.athlete]
    return {name: column.current(known) for name, column in registry.columns.items()}


def _row(said: Said, found: Match, double: int | None, now: _Now) -> PreviewRow:
    faults = [*said.faults, *([found.fault] if found.fault else [])]
    if double is not None:
        sentence = _("Row %(row)d and row %(other)d are the same child. If they are two, give each an id of its own.")
        faults.append(sentence % {"row": said.number, "other": double})
    athlete = found.athlete
    faults += _other_year(said, athlete)
    if athlete is not None:
        faults += adults.refused(said.values.get("adults", ()), now.club.adults.get(athlete.pk, ()))
    changes = () if faults else tuple(_changes(said, athlete, now))
    if faults:
        state = State.WRONG
    elif athlete is None:
        state = State.NEW
    else:
        state = State.CHANGED if changes else State.SAME
    name = said.whole_name or (athlete.full_name if athlete else said.values.get("id", ""))
    return PreviewRow(said.number, name, state, athlete, said, changes, tuple(faults), found.remark)


def _other_year(said: Said, athlete: Athlete | None) -> list[str]:
    """A year of birth alone cannot correct a whole date."""
    year, born = said.values.get("birth_year"), athlete.date_of_birth if athlete else None
    if year and born and "date_of_birth" not in said.values and born.year != year:
        return [_("The child is born on %(day)s: correct the date, not the year.") % {"day": born.isoformat()}]
    return []


def _changes(said: Said, athlete: Athlete | None, now: _Now) -> Iterable[Change]:
    """What the row would change; an empty cell changes nothing."""
    for change in adult_changes(said, athlete, now.club):
        yield Change("adults", None, change.after, *adults.words_of(change))
    for name, after in said.values.items():
        if name == "adults":
            continue
        before = _before(name, athlete, now, said)
        if name != "name" and before != after:
            yield _told(Change(name, before, after), said, athlete, now)
    if athlete is not None and athlete.left_on is not None:
        yield Change("left", athlete.left_on, None, athlete.left_on.isoformat(), _("back in the club"))
    if athlete is not None and athlete.birth_year is not None and "date_of_birth" in said.values:
        yield Change("birth_year", athlete.birth_year, None, str(athlete.birth_year))


def adult_changes(said: Said, athlete: Athlete | None, club: Snapshot) -> list[adults.AdultChange]:
    ties = club.adults.get(athlete.pk, ()) if athlete else ()
    return adults.changes(said.values.get("adults", ()), ties)


def _told(change: Change, said: Said, athlete: Athlete | None, now: _Now) -> Change:
    """Dates are written out, so that a mistaken order of day and month is seen."""
    if change.column in registry.columns:
        was = now.registered[change.column].get(athlete.pk, "") if athlete else ""
        return replace(change, was=was, becomes=said.texts[change.column])
    return replace(change, was=_words(change.before, now), becomes=_words(change.after, now))


def _words(value: Any, now: _Now) -> str:
    if isinstance(value, tuple):
        return ", ".join(str(now.club.squad_names.get(part, part)) for part in value)
    return "" if value is None else str(value)


def _before(name: str, athlete: Athlete | None, now: _Now, said: Said) -> Any:
    if name == "birth_year" and ("date_of_birth" in said.values or (athlete and athlete.date_of_birth)):
        return said.values[name]  # the whole date says it already
    if athlete is None:
        return None
    if name in ("given_name", "family_name") and "name" in said.values:
        return said.values.get(name)  # found by its whole name: how that parts is not for the file to say
    if name == "id" and not athlete.roster_id and said.values["id"] == athlete.pk.hex[:12]:
        return said.values["id"]  # our own makeshift id came back
    if name in FIELDS:
        return getattr(athlete, FIELDS[name])
    if name in KINDS:
        return tuple(sorted(now.club.labels[name].get(athlete.pk, ())))
    if name == "squads":
        return tuple(sorted(now.club.squads.get(athlete.pk, ())))
    return _registered_value(name, now.registered.get(name, {}).get(athlete.pk, ""))


def _registered_value(name: str, text: str) -> Any:
    """Another app's value as its own column reads it, so that 7.4 and 7.40 are the same."""
    try:
        return registry.columns[name].check(text) if text else None
    except (KeyError, ValueError):
        return None
