"""What is missing of adults before a session starts: at each station, and somebody who can give first aid."""

from __future__ import annotations

from collections.abc import Iterator
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.live.queries import hold_rows, workers_of
from clubapp.people.models import Membership
from clubapp.planning import queries as planning
from clubapp.planning.models import Session
from clubapp.register import queries as register


def missing(session: Session) -> list[str]:
    """In sentences for whoever runs the session. A helper with a pass counts as nobody the club has vetted."""
    return [*_stations(session), *_first_aid(session)]


def _stations(session: Session) -> Iterator[str]:
    vetted = {row.user_id for row in Membership.objects.filter(club=session.club_id) if row.vetted_on(session.date)}
    at: dict[UUID, list[tuple[str, bool]]] = {}
    for row in hold_rows(session.pk):
        if person := row.user or row.visitor:
            at.setdefault(row.station_id, []).append((person.name, row.user_id in vetted))
    stations = planning.stations(session)
    empty = [f"{station.number} {station.name}" for station in stations if station.pk not in at]
    if empty:
        yield _("Nobody has said yet that they look after: %(stations)s.") % {"stations": ", ".join(empty)}
    for station in stations:
        adults = at.get(station.pk, [])
        if adults and not any(is_vetted for _name, is_vetted in adults):
            names = ", ".join(sorted(name for name, _vetted in adults))
            words = _("%(number)d %(station)s has only %(names)s, without a vetting that the club knows to be valid.")
            yield words % {"number": station.number, "station": station.name, "names": names}


def _first_aid(session: Session) -> Iterator[str]:
    """Of those who are marked here; before anybody is, of those who work in the squad."""
    here = {adult.user_id for adult in register.current_adults(session.pk).values() if adult.here}
    rows = Membership.objects.filter(club=session.club_id)
    rows = rows.filter(user__in=filter(None, here)) if here else rows.filter(workers_of(session))
    if not any(row.first_aider_on(session.date) for row in rows):
        yield (
            _("Nobody here has first aid that the club knows to be valid.")
            if here
            else _("None of the squad's adults has first aid that the club knows to be valid that day.")
        )
