"""Takes the demo away again, and nothing else."""

from __future__ import annotations

from django.db import transaction

from clubapp.core.models import AuditLog, Outbox, SessionVersion
from clubapp.desk.demo import scenario
from clubapp.people.models import Club, Concern, User
from clubapp.planning.models import Session


def demo_club() -> Club | None:
    """The club whose head coach has the demo's address."""
    return Club.objects.filter(memberships__user__email=scenario.HEAD_COACH.email).first()


def demo_adults() -> list[scenario.Adult]:
    """Everybody who signs in, the head coach first."""
    return [scenario.HEAD_COACH, *scenario.ASSISTANTS, *(kin.adult for kin in scenario.GUARDIANS)]


@transaction.atomic
def clear() -> None:
    """Remove the demo club with all that belongs to it, and its adults' accounts."""
    club = demo_club()
    if club is not None:
        sessions = Session.objects.filter(club=club)
        SessionVersion.objects.filter(session_id__in=sessions.values("pk")).delete()
        sessions.delete()
        AuditLog._base_manager.filter(club_id=club.pk).delete()  # invented people leave no trace
        Concern.objects.filter(club=club).delete()
        Outbox.objects.filter(club_id=club.pk).delete()
        club.delete()
    User.objects.filter(email__in=[adult.email for adult in demo_adults()]).delete()
