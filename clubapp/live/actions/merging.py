"""Two records of one child on the field."""

from __future__ import annotations

from uuid import UUID

from django.db import transaction

from clubapp.core.tell import tell
from clubapp.live.models import Incident, Whereabouts


@transaction.atomic
def merge_child(stays: UUID, double: UUID) -> None:
    """Incident notes with all that was added to them, and every word on where the child was."""
    said, notes = Whereabouts.objects.filter(athlete=double), Incident.objects.filter(athlete=double)
    sessions = {*said.values_list("session_id", flat=True), *notes.values_list("session_id", flat=True)}
    said.update(athlete=stays)
    notes.update(athlete=stays)
    for session_id in sorted(sessions):
        tell(session_id, "where")
