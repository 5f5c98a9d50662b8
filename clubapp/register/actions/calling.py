"""Whom to ring for a child, read by an adult of the session. Every look is in the log."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from clubapp.core.audit import record_many
from clubapp.people.models import Guardianship, User
from clubapp.planning.models import Session
from clubapp.register import pick_ups
from clubapp.register.models import PickUp


@transaction.atomic
def read_emergency_numbers(
    *, session: Session, athlete_ids: Iterable[UUID], every: bool, by: User
) -> dict[UUID, list[tuple[str, str]]]:
    """Names and numbers by child, in the order to ring. every: not only the first one of each child."""
    ids = list(athlete_ids)
    ties = Guardianship.objects.filter(athlete__in=ids, athlete__club=session.club_id)
    found: dict[UUID, list[tuple[str, str]]] = {}
    for tie in ties.exclude(guardian__phone="").select_related("guardian").order_by("emergency_order", "pk"):
        numbers = found.setdefault(tie.athlete_id, [])
        if every or not numbers:
            numbers.append((tie.guardian.name, tie.guardian.phone))
    if every:
        for child, rows in pick_ups.of_session(session.pk, state=PickUp.State.CONFIRMED, athletes=ids).items():
            found.setdefault(child, []).extend(
                (_("%(name)s, picks up today") % {"name": row.name}, row.phone) for row in rows if row.phone
            )
    record_many(club_id=session.club_id, user_id=by.pk, verb="read", kind="emergency number", about=sorted(found))
    return found
