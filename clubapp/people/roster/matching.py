"""Which child of the club a row means: by roster id, else by name and date of birth. Never a guess between two."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.people.models import Athlete
from clubapp.people.roster.rows import Said
from clubapp.people.roster.snapshot import Snapshot, name_key


@dataclass(frozen=True)
class Match:
    """The child a row means, or None for a new one; why neither can be said; what the coach should look at."""

    athlete: Athlete | None = None
    fault: str = ""
    remark: str = ""


def match(said: Said, club: Snapshot) -> Match:
    roster_id = said.values.get("id", "")
    if known := club.by_roster_id.get(roster_id):
        return Match(known)
    named = club.by_name.get(name_key(said.whole_name), []) if said.whole_name else []
    candidates = _of_that_birth(said, named)
    if roster_id and (other := next((child for child in candidates if child.roster_id), None)):
        sentence = _("%(name)s is in the club with the roster id %(id)s. Write that id, or leave the cell empty.")
        return Match(fault=sentence % {"name": other.full_name, "id": other.roster_id})
    if len(candidates) > 1:
        return Match(fault=_("More than one child of the club has this name and date of birth: write the roster id."))
    if candidates:
        return Match(candidates[0])
    return _new(said, named)


def _new(said: Said, named: Sequence[Athlete]) -> Match:
    if not said.values.get("given_name"):
        return Match(fault=_("A new child needs a given name."))
    if named:
        return Match(remark=_("Another child of this name is in the club, born on another day."))
    return Match()


def _of_that_birth(said: Said, named: Sequence[Athlete]) -> list[Athlete]:
    """Those whose birth is the row's; failing that, those of whom less is known than the row says."""
    born, year = said.values.get("date_of_birth"), said.values.get("birth_year")
    if born:
        exact = [child for child in named if child.date_of_birth == born]
        open_ = [child for child in named if child.date_of_birth is None and child.birth_year in (None, born.year)]
        return exact or open_
    if year:
        return [child for child in named if (child.born.year if child.born else year) == year]
    return list(named)


def doubles(rows: Sequence[tuple[Said, Match]]) -> dict[int, int]:
    """Rows of the file that mean the same child: each row's number with that of its nearest double."""
    groups: dict[Hashable, list[Said]] = defaultdict(list)
    for said, found in rows:
        for key in _keys(said, found.athlete.pk if found.athlete else None):
            groups[key].append(said)
    twice: dict[int, int] = {}
    for key, group in groups.items():
        if len(group) > 1 and not _told_apart(key, group):
            for said in group:
                other = group[1] if said is group[0] else group[0]
                twice.setdefault(said.number, other.number)
    return twice


def _keys(said: Said, athlete_id: UUID | None) -> list[Hashable]:
    values = said.values
    keys: list[Hashable] = [athlete_id] if athlete_id else []
    if values.get("id"):
        keys.append(("id", values["id"]))
    if said.whole_name:
        born = values.get("date_of_birth") or values.get("birth_year")
        keys.append(("name", name_key(said.whole_name), born))
    return keys


def _told_apart(key: Hashable, group: Sequence[Said]) -> bool:
    """Two children of one name and birthday are two if each row has a roster id; equal ids are found by themselves."""
    return isinstance(key, tuple) and key[0] == "name" and all(said.values.get("id") for said in group)
