"""Reads over the ledger."""

from __future__ import annotations

from collections.abc import Iterable
from uuid import UUID

from clubapp.results.models import SPEED, Result


def latest_seconds(athlete_ids: Iterable[UUID], code: str = SPEED) -> dict[UUID, float]:
    """Each child's newest value of the club's trial `code`, in seconds; a corrected value does not count."""
    rows = (
        Result.objects.filter(athlete__in=list(athlete_ids), trial__code=code, replaced_by__isnull=True)
        .order_by("on", "received_at", "pk")
        .values_list("athlete_id", "value_ms")
    )
    return {athlete_id: value_ms / 1000 for athlete_id, value_ms in rows}
