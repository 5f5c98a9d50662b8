"""Whether the inhaler or pen that a child's health note speaks of is there today, as adults said at the register."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from clubapp.people.queries import brings_something
from clubapp.register import order
from clubapp.register.models import Brought


def brought(session_id: UUID) -> dict[UUID, bool]:
    """What was said last, by child; of whom nobody was asked is not in it."""
    rows = sorted(Brought.objects.filter(session=session_id), key=order.place)
    return {row.athlete_id: row.there for row in rows}


def is_asked(athlete_id: UUID) -> bool:
    return bool(brings_something([athlete_id]))


def export(athlete_id: UUID) -> list[dict[str, Any]]:
    rows = Brought.objects.filter(athlete=athlete_id).select_related("session", "by").order_by("tapped_at", "pk")
    return [
        {
            "session": row.session.date.isoformat(),
            "brought": row.there,
            "at": row.tapped_at.isoformat(),
            "by": row.by.name if row.by else "",
        }
        for row in rows
    ]
