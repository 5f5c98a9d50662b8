"""Two records of one child: what the register keeps of the second goes to the first."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction

from clubapp.core.tell import tell
from clubapp.register.models import Brought, ComingLate, Contacted, Mark, PickUp


@transaction.atomic
def merge_child(stays: UUID, double: UUID) -> None:
    """Every entry stays as it was tapped; where both were marked the later tap counts, as ever."""
    sessions = sorted(set(Mark.objects.filter(athlete=double).values_list("session_id", flat=True)))
    for model in (Mark, Contacted, Brought, ComingLate, PickUp):
        model.objects.filter(athlete=double).update(athlete=stays)
    for session_id in sessions:
        tell(session_id, "register")
