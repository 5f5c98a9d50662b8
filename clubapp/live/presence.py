"""When a phone was last heard. A convenience for the leader, kept in the cache alone: losing it costs a few seconds.

A phone that is not heard raises no alarm: a whole session also runs from one phone and paper.
"""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.core.cache import cache
from django.db.models import Q

from clubapp.live import queries
from clubapp.live.access import Watcher
from clubapp.people.models import Role, User
from clubapp.planning import queries as planning
from clubapp.planning.models import Session, Station

KEPT_S = 12 * 3600
SILENT_S = 25  # a heartbeat every ten seconds, and one of them may get lost


def _key(session_id: UUID, adult: UUID) -> str:
    return f"heard.{session_id}.{adult}"


def note_heard(watcher: Watcher) -> None:
    """This adult's phone spoke just now."""
    note_all(watcher.session.pk, {watcher.id: time.time()})


def note_all(session_id: UUID, heard: Mapping[UUID, float]) -> None:
    """These adults' phones spoke, each at its instant."""
    cache.set_many({_key(session_id, adult): at for adult, at in heard.items()}, KEPT_S)


@dataclass(frozen=True)
class Phone:
    """An adult of tonight, the station looked after, and since when the phone is silent; None: it never spoke."""

    id: UUID
    name: str
    station: Station | None
    silent_s: int | None

    @property
    def connected(self) -> bool:
        return self.silent_s is not None and self.silent_s <= SILENT_S

    @property
    def minutes(self) -> int:
        """Whole minutes of silence, at least one."""
        return max(1, round((self.silent_s or 0) / 60))


def phones_of(session: Session) -> list[Phone]:
    """Who looks after a station or was heard tonight, by station; others who might come are left out."""
    adults: dict[UUID, str] = {adult.pk: adult.name for adult in _accounts(session)}
    adults |= {helper.pk: helper.name for helper in queries.helpers(session)}
    held = queries.stations_held(session.pk)
    stations = {station.pk: station for station in planning.stations(session)}
    heard = cache.get_many([_key(session.pk, adult) for adult in adults])
    now = time.time()
    rows = []
    for adult, name in adults.items():
        at, station = heard.get(_key(session.pk, adult)), stations.get(held.get(adult, adult))
        if at is not None or station is not None:
            rows.append(Phone(adult, name, station, None if at is None else max(0, int(now - at))))
    return sorted(rows, key=lambda row: (row.station is None, row.station.number if row.station else 0, row.name))


def context_of(session: Session) -> dict[str, Any]:
    """What the leader's list shows. unheld: stations nobody's phone looks after."""
    phones = phones_of(session)
    held = {phone.station.pk for phone in phones if phone.station}
    unheld = [station for station in planning.stations(session) if station.pk not in held]
    return {"phones": phones, "connected": sum(phone.connected for phone in phones), "unheld": unheld}


def _accounts(session: Session) -> list[User]:
    """Adults with an account who may be here."""
    coaches = Q(memberships__club=session.club_id, memberships__role=Role.HEAD_COACH)
    assistants = Q(memberships__squads=session.squad_id, memberships__role=Role.ASSISTANT)
    leader = Q(pk=session.leader_id)
    return list(User.objects.filter(coaches | assistants | leader, is_active=True).distinct())
