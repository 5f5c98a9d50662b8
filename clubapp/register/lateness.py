"""When a child comes that a guardian announced late: something to know at the register, never a mark."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.planning.models import Session
from clubapp.register import order
from clubapp.register.models import ComingLate

STEP = 10  # minutes between the times a guardian chooses from
GRACE = timedelta(minutes=10)  # past the time named there is no word of the child again; common practice, no source


def latest(session_id: UUID) -> dict[UUID, ComingLate]:
    """What guardians said last, by child; what was taken back is not in it."""
    rows = sorted(ComingLate.objects.filter(session=session_id).select_related("session__club"), key=order.place)
    return {child: row for child, row in _last(rows, "athlete_id").items() if row.minutes is not None}


def latest_of_child(athlete_id: UUID, session_ids: Iterable[UUID]) -> dict[UUID, ComingLate]:
    """The same for one child, by session."""
    found = ComingLate.objects.filter(athlete=athlete_id, session__in=list(session_ids))
    rows = sorted(found.select_related("session__club"), key=order.place)
    return {session: row for session, row in _last(rows, "session_id").items() if row.minutes is not None}


def _last(rows: Iterable[ComingLate], by: str) -> dict[UUID, ComingLate]:
    return {getattr(row, by): row for row in rows}


def comes_at(row: ComingLate) -> datetime:
    return row.session.starts_at + timedelta(minutes=row.minutes or 0)


def word_until(row: ComingLate) -> datetime:
    """So long it is a word on a child that nobody has marked."""
    return comes_at(row) + GRACE


def words(row: ComingLate) -> str:
    """ "comes about 10:20 – the bus"; the time is the club's."""
    at = f"{comes_at(row).astimezone(row.session.club.zone):%H:%M}"
    said = _("comes about %(time)s") % {"time": at}
    return f"{said} – {row.word}" if row.word else said


def times(session: Session, now: datetime | None = None) -> list[tuple[int, str]]:
    """What a guardian chooses from: minutes after the start, and the club's time; from now on, if given."""
    all_times = (
        (minutes, session.starts_at + timedelta(minutes=minutes)) for minutes in range(STEP, session.minutes, STEP)
    )
    return [(minutes, f"{at:%H:%M}") for minutes, at in all_times if now is None or at > now]


def export(athlete_id: UUID) -> list[dict[str, Any]]:
    rows = ComingLate.objects.filter(athlete=athlete_id).select_related("session").order_by("tapped_at", "pk")
    return [
        {
            "session": row.session.date.isoformat(),
            "minutes_after_start": row.minutes,
            "word": row.word,
            "at": row.tapped_at.isoformat(),
        }
        for row in rows
    ]
