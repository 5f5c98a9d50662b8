"""The one sheet with numbers and health notes: for whoever runs the session, round the session, with every look logged.

It holds who may be there, for it is printed before anybody is marked.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time, timedelta

from django.utils import timezone

from clubapp.core.keeping import AFTER_END, NOT_COLLECTED
from clubapp.people.models import User
from clubapp.planning.models import Session
from clubapp.register import page as register
from clubapp.register import queries
from clubapp.register.calls import Call, calls_for
from clubapp.register.models import Mark

BEFORE = timedelta(days=1)  # printers stand at home: the day before is soon enough, a week would be too long
AWAY = (Mark.Kind.ABSENT, Mark.Kind.TOLD, Mark.Kind.LEFT)


@dataclass(frozen=True)
class EmergencySheet:
    """away: how many are left out because they are not expected, or have gone."""

    session: Session
    calls: tuple[Call, ...]
    away: int


def opens(session: Session) -> datetime:
    """Midnight before the day before, by the club's clock."""
    return datetime.combine(session.date - BEFORE, time(), tzinfo=session.club.zone)


def is_open(session: Session) -> bool:
    """Until an hour after the end; as long as a child waits to be collected, for a day."""
    now, over = timezone.now(), session.ends_at + AFTER_END
    waits = now < session.ends_at + NOT_COLLECTED and bool(queries.waiting(session.pk))
    return opens(session) <= now and (now < over or waits)


def emergency_sheet(session: Session, by: User) -> EmergencySheet:
    """Reads, and so logs, every note and number it holds."""
    rows = register.page_of(by, session).rows
    there = [row for row in rows if row.kind not in AWAY]
    calls = calls_for(session, there, every=True, by=by)
    return EmergencySheet(session, calls, len(rows) - len(there))
