"""Children of the club: made, changed, left, and what to do about their health."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields
from datetime import date
from uuid import UUID

from django.db import transaction

from clubapp.core.audit import record, record_many
from clubapp.people.models import Athlete, Club, Health, MedicalNote, Squad, User


@dataclass(frozen=True)
class AthleteDetails:
    """What the club keeps about a child, apart from health and adults. Fields are those of the model."""

    given_name: str
    family_name: str = ""
    known_as: str = ""
    date_of_birth: date | None = None
    birth_year: int | None = None
    sex: str = ""
    skill: int | None = None
    joined_on: date | None = None
    sessions_before: int = 0
    roster_id: str = ""
    details_wanted: bool = False


@transaction.atomic
def make_athlete(
    *, club: Club, details: AthleteDetails, squads: Iterable[Squad] = (), by: User | None = None
) -> Athlete:
    athlete = Athlete.objects.create(club=club, **_values(details))
    athlete.squads.set(squads)
    _record(athlete, by, "made")
    return athlete


@transaction.atomic
def change_athlete(*, athlete: Athlete, details: AthleteDetails, squads: Iterable[Squad], by: User) -> None:
    """Take the new details over; the log keeps which fields changed, not what stood in them."""
    values = _values(details)
    changed = [name for name, value in values.items() if getattr(athlete, name) != value]
    for name in changed:
        setattr(athlete, name, values[name])
    athlete.save(update_fields=changed)
    before = set(athlete.squads.all())
    athlete.squads.set(squads)
    if before != set(athlete.squads.all()):
        changed.append("squads")
    if changed:
        _record(athlete, by, "changed", fields=changed)


@transaction.atomic
def leave_club(*, athlete: Athlete, by: User) -> None:
    """The child is on no list any more; the record stays until it is erased."""
    athlete.left_on = athlete.club.today()
    athlete.save(update_fields=["left_on"])
    _record(athlete, by, "left")


@transaction.atomic
def return_to_club(*, athlete: Athlete, by: User) -> None:
    athlete.left_on = None
    athlete.save(update_fields=["left_on"])
    _record(athlete, by, "returned")


@dataclass(frozen=True)
class HealthAnswer:
    """The answer to "is there anything about health?", and with a yes what to do."""

    health: Health
    what_to_do: str = ""
    note: str = ""


@transaction.atomic
def write_medical_note(*, athlete: Athlete, answer: HealthAnswer, by: User | None) -> None:
    """Keep the note sealed; "nothing to know" and "not asked yet" take an older note away."""
    athlete.health = answer.health
    athlete.save(update_fields=["health"])
    if answer.health == Health.NOTE:
        text = {"what_to_do": answer.what_to_do, "note": answer.note, "reviewed_on": athlete.club.today()}
        MedicalNote.objects.update_or_create(athlete=athlete, defaults=text)
    else:
        MedicalNote.objects.filter(athlete=athlete).delete()
    user_id = by.pk if by else None
    record(club_id=athlete.club_id, user_id=user_id, verb="changed", kind="medical note", about=athlete.pk)


@transaction.atomic
def read_medical_notes(*, athlete_ids: Iterable[UUID], club_id: UUID, by: User | None) -> dict[UUID, MedicalNote]:
    """The notes of these children, by child; every child read about is in the log before anybody sees a word."""
    rows = MedicalNote.objects.filter(athlete__in=list(athlete_ids), athlete__club=club_id)
    notes = {row.athlete_id: row for row in rows}
    record_many(club_id=club_id, user_id=by.pk if by else None, verb="read", kind="medical note", about=notes)
    return notes


def _values(details: AthleteDetails) -> dict[str, object]:
    """A whole date of birth says the year as well."""
    values = {field.name: getattr(details, field.name) for field in fields(details)}
    return values | ({"birth_year": None} if details.date_of_birth else {})


def _record(athlete: Athlete, by: User | None, verb: str, **detail: object) -> None:
    user_id = by.pk if by else None
    record(club_id=athlete.club_id, user_id=user_id, verb=verb, kind="athlete", about=athlete.pk, **detail)
