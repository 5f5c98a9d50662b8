"""What to do about a child's health: written by the club, proposed by a guardian, read with every look in the log."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from clubapp.core.audit import record, record_many
from clubapp.people.models import Athlete, Health, HealthProposal, MedicalNote, User


@dataclass(frozen=True)
class HealthAnswer:
    """The answer to "is there anything about health?", and with a yes what to do."""

    health: Health
    what_to_do: str = ""
    note: str = ""
    to_bring: bool = False


@transaction.atomic
def write_medical_note(*, athlete: Athlete, answer: HealthAnswer, by: User | None) -> None:
    """Keep the note sealed; "nothing to know" and "not asked yet" take an older note away."""
    athlete.health = answer.health
    athlete.save(update_fields=["health"])
    if answer.health == Health.NOTE:
        MedicalNote.objects.update_or_create(
            athlete=athlete,
            defaults={
                "what_to_do": answer.what_to_do,
                "note": answer.note,
                "to_bring": answer.to_bring,
                "reviewed_on": athlete.club.today(),
            },
        )
    else:
        MedicalNote.objects.filter(athlete=athlete).delete()
    _record(athlete, by, "changed")


@transaction.atomic
def read_medical_notes(*, athlete_ids: Iterable[UUID], club_id: UUID, by: User | None) -> dict[UUID, MedicalNote]:
    """The notes of these children, by child; every child read about is in the log before anybody sees a word.

    A child of whom only a guardian's proposal is known has a note of that alone.
    """
    ids = list(athlete_ids)
    notes = {row.athlete_id: row for row in MedicalNote.objects.filter(athlete__in=ids, athlete__club=club_id)}
    for row in HealthProposal.objects.filter(athlete__in=ids, athlete__club=club_id).order_by("-at", "-pk"):
        note = notes.setdefault(row.athlete_id, MedicalNote(athlete_id=row.athlete_id))
        note.proposed = [*note.proposed, row]
    record_many(club_id=club_id, user_id=by.pk if by else None, verb="read", kind="medical note", about=notes)
    return notes


@transaction.atomic
def propose_health(*, athlete: Athlete, what_to_do: str, note: str, by: User, to_bring: bool = False) -> HealthProposal:
    """A guardian's own words; a newer proposal of the same adult takes the older one's place."""
    HealthProposal.objects.filter(athlete=athlete, by=by).delete()
    row = HealthProposal.objects.create(athlete=athlete, what_to_do=what_to_do, note=note, to_bring=to_bring, by=by)
    _record(athlete, by, "proposed")
    return row


@transaction.atomic
def accept_health(*, proposal: HealthProposal, by: User) -> None:
    """The proposal becomes the note."""
    answer = HealthAnswer(Health.NOTE, what_to_do=proposal.what_to_do, note=proposal.note, to_bring=proposal.to_bring)
    write_medical_note(athlete=proposal.athlete, answer=answer, by=by)
    proposal.delete()


@transaction.atomic
def decline_health(*, proposal: HealthProposal, by: User) -> None:
    """The head coach has talked it over; the note stays as it was."""
    _record(proposal.athlete, by, "declined")
    proposal.delete()


def _record(athlete: Athlete, by: User | None, verb: str) -> None:
    user_id = by.pk if by else None
    record(club_id=athlete.club_id, user_id=user_id, verb=verb, kind="medical note", about=athlete.pk)
