"""Whom to ring for a child, read by an adult of the session. Every look is in the log."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from django.db import transaction

from clubapp.core.audit import record_many
from clubapp.people.models import Guardianship, User
from clubapp.planning.models import Session


@transaction.atomic
def read_emergency_numbers(
    *, session: Session, athlete_ids: Iterable[UUID], every: bool, by: User
) -> dict[UUID, list[tuple[str, str]]]:
    """Names and numbers by child, in the order to ring. every: not only the first one of each child."""
    ties = Guardianship.objects.filter(athlete__in=list(athlete_ids), athlete__club=session.club_id)
    found: dict[UUID, list[tuple[str, str]]] = {}
    for tie in ties.exclude(guardian__phone="").select_related("guardian").order_by("emergency_order", "pk"):
        numbers = found.setdefault(tie.athlete_id, [])
        if every or not numbers:
            numbers.append((tie.guardian.name, tie.guardian.phone))
    record_many(club_id=session.club_id, user_id=by.pk, verb="read", kind="emergency number", about=sorted(found))
    return found
