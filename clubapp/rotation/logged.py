"""Plans as lines of the club's log: a change is a new row, so they are their own log."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.db.models import F, Value

from clubapp.rotation.models import Plan


def entries(club_id: UUID) -> Any:
    rows = Plan.objects.filter(session__club=club_id).annotate(
        at=F("made_at"), who=F("by_id"), did=F("why"), what=Value("plan"), whom=F("session_id")
    )
    return rows.values_list("at", "who", "did", "what", "whom")
