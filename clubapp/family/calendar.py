"""Sessions as a calendar (RFC 5545): which squad, when and where, and nothing of any child."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from uuid import UUID

from django.utils import timezone
from django.utils.translation import gettext as _
from icalendar import Calendar, Event

from clubapp.planning.models import Session
from clubapp.planning.queries import sessions_of_squads

PAST = timedelta(days=30)
ASK_AGAIN = timedelta(hours=1)


def sessions_of(squads: Iterable[UUID]) -> list[Session]:
    """Sessions of these squads, from a month ago on."""
    since = timezone.now() - PAST
    return [row for row in sessions_of_squads(squads) if row.ends_at >= since]


def written(sessions: Iterable[Session]) -> bytes:
    calendar = Calendar()
    calendar.add("prodid", "-//Fieldbell//calendar//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", _("Training"))
    calendar.add("refresh-interval", ASK_AGAIN, parameters={"VALUE": "DURATION"})
    for session in sessions:
        calendar.add_component(_event(session))
    calendar.add_missing_timezones()
    return bytes(calendar.to_ical())


def _event(session: Session) -> Event:
    """The id stays whatever changes; the sequence rises with each change that families have to know of."""
    event = Event()
    event.add("uid", f"{session.pk}@fieldbell")
    event.add("sequence", session.sequence)
    event.add("dtstamp", session.revised_at)
    event.add("dtstart", session.starts_at)
    event.add("dtend", session.ends_at.astimezone(session.club.zone))
    event.add("summary", f"{session.squad.name} ({session.club.name})")
    event.add("status", "CANCELLED" if session.called_off else "CONFIRMED")
    if session.place:
        event.add("location", session.place)
    return event
