"""Marks as lines of the club's log: they are only ever added, so they are their own log."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.db.models import F, Value

from clubapp.register.models import Mark


def entries(club_id: UUID) -> Any:
    rows = Mark.objects.filter(session__club=club_id).annotate(
        at=F("tapped_at"), who=F("by_id"), did=Value("marked"), what=F("kind"), whom=F("athlete_id")
    )
    return rows.values_list("at", "who", "did", "what", "whom")
