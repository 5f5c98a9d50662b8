"""The one way to write the audit log."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from clubapp.core.models import AuditLog


def record(
    *, club_id: UUID | None, user_id: UUID | None, verb: str, kind: str, about: UUID | None, **detail: Any
) -> None:
    """Add one line. `detail` holds field names and ids, never a person's name or a note's words."""
    AuditLog.objects.create(club_id=club_id, user_id=user_id, verb=verb, kind=kind, about=about, detail=detail)


def record_many(*, club_id: UUID | None, user_id: UUID | None, verb: str, kind: str, about: Iterable[UUID]) -> None:
    """One line for each of many people, as a roster import or a page full of flags needs it."""
    AuditLog.objects.bulk_create(
        [AuditLog(club_id=club_id, user_id=user_id, verb=verb, kind=kind, about=one) for one in about]
    )


def merged_into(child: UUID) -> list[UUID]:
    """The ids of records that were merged into this child's, also by way of another one."""
    rows = AuditLog.objects.filter(verb="merged", kind="athlete", about=child).order_by("pk")
    found = [UUID(row.detail["double"]) for row in rows]
    return found + [other for one in found for other in merged_into(one)]
