"""Concerns: written by any adult of the club, read by its welfare officers and nobody else."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction

from clubapp.core.audit import record
from clubapp.core.post import send
from clubapp.people import keeping, letters
from clubapp.people.models import Club, Concern, Membership, Role, User

KIND = "concern"  # in the log, for the welfare officer's eyes too


@dataclass(frozen=True)
class Worry:
    about: str
    words: str


@transaction.atomic
def write_concern(*, club: Club, worry: Worry, by: User, host: str) -> Concern:
    """Write it down and call the welfare officers; the mail says nothing but that there is something to read."""
    until = keeping.kept_until(club, keeping.CONCERNS, club.today())
    said = {"about": worry.about, "words": worry.words, "by": by, "by_name": by.name}
    row = Concern.objects.create(club=club, until=until, **said)
    record(club_id=club.pk, user_id=by.pk, verb="wrote", kind=KIND, about=row.pk)
    for officer in Membership.objects.filter(club=club, role=Role.WELFARE).select_related("user"):
        send(letters.concern_waits(club, officer.user, host))
    return row


@transaction.atomic
def read_concerns(*, club: Club, by: User) -> list[Concern]:
    """All of them, the newest first; that they were read is in the log."""
    record(club_id=club.pk, user_id=by.pk, verb="read", kind=KIND, about=None)
    return list(Concern.objects.filter(club=club).order_by("-at", "-pk"))
