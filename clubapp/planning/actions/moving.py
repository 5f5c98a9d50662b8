"""A session moved to another venue."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from clubapp.people.models import User
from clubapp.planning import queries
from clubapp.planning.actions.menus import Chosen
from clubapp.planning.actions.places import Stand
from clubapp.planning.actions.sessions import SessionDetails, change_session
from clubapp.planning.actions.stations import made_from
from clubapp.planning.actions.trouble import PlanError
from clubapp.planning.models import Session, Station, Venue


@transaction.atomic
def move_session(
    *, session: Session, venue: Venue, stands: Mapping[str, Stand], instead: Mapping[str, Chosen], by: User
) -> None:
    """There, with other activities at some stations. Stations stay the same rows: groups and rotation name them.

    stands, instead: by station id; a station without a stand has no place in the new venue.

    Raises:
        PlanError: the session is over.
    """
    if session.ends_at <= timezone.now():
        raise PlanError(_("This session is over: what was planned for it stays."))
    for station in queries.stations(session):
        _put(station, stands.get(str(station.pk)), instead.get(str(station.pk)))
    kept = {one.name: getattr(session, one.name) for one in fields(SessionDetails)}
    there = {"venue": venue, "place": venue.name, "meeting_place": venue.meeting_place}
    change_session(session=session, details=SessionDetails(**kept | there), by=by)


def _put(station: Station, stand: Stand | None, chosen: Chosen | None) -> None:
    made = made_from(chosen.code, chosen.card) | {"kit": dict(chosen.kit)} if chosen else {}
    at = {"x_m": stand.x_m, "y_m": stand.y_m, "turned": stand.turned} if stand else {"x_m": None, "y_m": None}
    for name, value in (made | at).items():
        setattr(station, name, value)
    station.save()
