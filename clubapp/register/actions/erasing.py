"""A child's marks, erased for good."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction

from clubapp.core.tell import tell
from clubapp.register.models import Brought, ComingLate, Contacted, Mark, PickUp


@transaction.atomic
def erase_child(athlete_id: UUID) -> None:
    """Every mark of the child goes, and what its guardians answered; the phones of those sessions hear of it."""
    marks = Mark.objects.filter(athlete=athlete_id)
    sessions = sorted(set(marks.values_list("session_id", flat=True)))
    marks.delete()
    for model in (Contacted, Brought, ComingLate, PickUp):
        model.objects.filter(athlete=athlete_id).delete()
    for session_id in sessions:
        tell(session_id, "register")
