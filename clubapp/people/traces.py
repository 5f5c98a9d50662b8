"""Where a child's name stands in what adults wrote about somebody or something else."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache, reduce
from operator import or_
from typing import Any

from django.apps import apps
from django.db import models
from django.utils.translation import gettext as _

from clubapp.core.fields import SealedTextField
from clubapp.core.models import AuditLog
from clubapp.people.models import Athlete, Club, Concern, Guardian, Membership, Squad, User

# Rows that are people or named by nobody's child; the log holds no names, and of concerns nobody else hears.
NOT_NOTES = (Athlete, Guardian, User, Club, Squad, AuditLog, Concern)
FEWEST_LETTERS = 3  # a shorter name alone is a syllable of other words
SHORTEST_NOTE = 40  # columns for less hold codes and hashes


@dataclass(frozen=True)
class Trace:
    """text: how the field reads without the name. stays: the note is evidence and is not changed."""

    row: models.Model
    field: str
    text: str
    stays: bool


@dataclass(frozen=True)
class Names:
    """whole: of child and adults, whatever the capitals; alone: first names that nobody else of the club bears."""

    whole: tuple[str, ...]
    alone: tuple[str, ...]

    @property
    def pattern(self) -> re.Pattern[str]:
        parts = [f"(?i:{re.escape(name)})" for name in sorted(self.whole, key=len, reverse=True)]
        parts += [re.escape(name) for name in self.alone]
        return re.compile(rf"\b(?:{'|'.join(parts)})\b" if parts else r"(?!)")

    def anywhere_in(self, fields: Iterable[str]) -> models.Q:
        """A first look by the database, which knows no words."""
        names = (*self.whole, *self.alone)
        return reduce(or_, (models.Q(**{f"{field}__icontains": name}) for field in fields for name in names))


def names_of(child: Athlete) -> Names:
    """The child's names, and those of adults who are here for this child alone. A first name that somebody else of the
    club bears as well is looked for with the family name only.
    """
    firsts = {name for name in (child.given_name, child.known_as) if name}
    whole = {f"{first} {child.family_name}".strip() for first in firsts if child.family_name}
    for guardian in Guardian.objects.filter(children__athlete=child):
        if not guardian.children(manager="everyone").exclude(athlete=child).exists():
            whole.add(guardian.name)
    alone = {name for name in firsts if len(name) >= FEWEST_LETTERS and name not in _words_of_others(child)}
    return Names(tuple(sorted(whole)), tuple(sorted(alone)))


def _words_of_others(child: Athlete) -> set[str]:
    children = Athlete.objects.filter(club=child.club_id).exclude(pk=child.pk)
    adults = Membership.objects.filter(club=child.club_id)
    rows = [*children.values_list("given_name", "family_name", "known_as"), *adults.values_list("user__name")]
    return {word for row in rows for name in row for word in name.split()}


def traces(club: Club, names: Names, child: Athlete | None = None) -> Iterator[Trace]:
    """Every note of the club that holds one of the names; those about the child itself are left out."""
    pattern = names.pattern
    for model in apps.get_models() if names.whole or names.alone else ():
        stays = bool(getattr(model, "stays_as_written", False))
        for row in _rows(model, club, names):
            if child is None or not _is_about(row, child):
                for field in _notes_in(model):
                    if pattern.search(text := getattr(row, field) or ""):
                        yield Trace(row, field, pattern.sub(_("[erased]"), text), stays)


def _rows(model: type[models.Model], club: Club, names: Names) -> Iterable[models.Model]:
    """Rows that may hold a name; of sealed text only reading tells."""
    fields, path = _notes_in(model), _way_to_club(model)
    if not fields or path is None:
        return ()
    rows = model._base_manager.filter(**{path: club.pk})
    sealed = any(isinstance(model._meta.get_field(field), SealedTextField) for field in fields)
    return rows if sealed else rows.filter(names.anywhere_in(fields))


def blank(club: Club, names: Names) -> None:
    """Take the names out of every note that may be changed."""
    for trace in list(traces(club, names)):
        if not trace.stays:
            type(trace.row)._base_manager.filter(pk=trace.row.pk).update(**{trace.field: trace.text})


def _is_about(row: Any, child: Athlete) -> bool:
    incident = getattr(row, "incident", None)
    return child.pk in (getattr(row, "athlete_id", None), getattr(incident, "athlete_id", None))


@cache
def _notes_in(model: type[models.Model]) -> tuple[str, ...]:
    """The fields in which an adult writes what comes to mind."""
    if model in NOT_NOTES or not model.__module__.startswith("clubapp."):
        return ()
    return tuple(
        field.name
        for field in model._meta.concrete_fields
        if isinstance(field, models.CharField | models.TextField)
        and not isinstance(field, models.EmailField | models.SlugField)
        and not (field.choices or field.unique)
        and (field.max_length or SHORTEST_NOTE) >= SHORTEST_NOTE
    )


@cache
def _way_to_club(model: type[models.Model], seen: tuple[type[models.Model], ...] = ()) -> str | None:
    """The shortest way over foreign keys, as a filter writes it."""
    names = {field.name: field for field in model._meta.concrete_fields}
    if "club" in names or "club_id" in names:
        return "club" if "club" in names else "club_id"
    found = [
        f"{name}__{way}"
        for name, field in names.items()
        if isinstance(field, models.ForeignKey)
        and isinstance(field.related_model, type)
        and field.related_model not in (*seen, User)
        and (way := _way_to_club(field.related_model, (*seen, model)))
    ]
    return min(found, key=lambda way: (way.count("__"), way), default=None)
