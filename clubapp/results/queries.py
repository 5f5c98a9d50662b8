"""Reads over the ledger."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from clubapp.results.models import SPEED, Result


def latest_seconds(athlete_ids: Iterable[UUID], code: str = SPEED) -> dict[UUID, float]:
    """Each child's newest value of the club's trial `code`, in seconds."""
    return {child: value_ms / 1000 for child, value_ms in latest_milliseconds(athlete_ids, code).items()}


def latest_milliseconds(athlete_ids: Iterable[UUID], code: str = SPEED) -> dict[UUID, int]:
    """Each child's newest value of the club's trial `code`; a corrected value does not count."""
    rows = (
        Result.objects.filter(athlete__in=list(athlete_ids), trial__code=code, replaced_by__isnull=True)
        .order_by("on", "received_at", "pk")
        .values_list("athlete_id", "value_ms")
    )
    return dict(rows)


def export_child(athlete_id: UUID) -> list[dict[str, Any]]:
    """All of a child's results, the corrected ones too, oldest first."""
    rows = Result.objects.filter(athlete=athlete_id).select_related("trial").order_by("on", "received_at", "pk")
    return [
        {"test": row.trial.name, "on": row.on.isoformat(), "seconds": row.value_ms / 1000, "id": str(row.pk)}
        for row in rows
    ]
