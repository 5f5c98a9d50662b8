"""What one adult may see of a running session; whatever this adult may not know is not put together at all."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import cached_property
from typing import Any
from uuid import UUID
from zlib import crc32

from django.utils.translation import gettext as _

from clubapp.core.tell import version_of
from clubapp.engine import clock
from clubapp.live import bridge, incident_rows, messages, played, queries
from clubapp.live.access import Watcher
from clubapp.live.onfield import OnField, Tally, onfield_of
from clubapp.live.sentences import away_words
from clubapp.people import consents
from clubapp.people import queries as people
from clubapp.planning import queries as planning
from clubapp.planning.models import Session, Station
from clubapp.register import queries as register
from clubapp.rotation import queries as rotation
from clubapp.rotation.evening import names_for
from clubapp.rotation.queries import GroupView, PlanView


@dataclass(frozen=True)
class Child:
    """A first name, and what its flag says: "" for none. The words behind the flag are one tap away."""

    id: UUID
    name: str
    flag: str = ""


@dataclass(frozen=True)
class Group:
    """A group as it is to stand at a station in a round, guests included.

    away: who is here but not to stand there now, and why; gone: who is not here, or not any more; no_photos: of whom
    no guardian agreed to any.
    """

    bib: str
    children: tuple[Child, ...]
    away: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    no_photos: tuple[str, ...] = ()


@dataclass(frozen=True)
class Way:
    """Where a group goes; station None = it rests."""

    bib: str
    station: Station | None


@dataclass(frozen=True)
class Stand:
    """A station in one round."""

    station: Station
    groups: tuple[Group, ...]
    held_by: tuple[str, ...]
    tally: Tally


@dataclass(frozen=True)
class Turn:
    """One round over the whole field."""

    number: int
    clock: str
    stands: tuple[Stand, ...]
    resting: tuple[Group, ...]


@dataclass(frozen=True)
class Visit:
    """One round at one station: who stands here, who left just before and where to, who comes next, where these go."""

    number: int
    clock: str
    here: tuple[Group, ...]
    leaving: tuple[Way, ...]
    coming: tuple[Group, ...]
    going: tuple[Way, ...]
    last: bool


@dataclass(frozen=True)
class Evening:
    """The running session, read once a page."""

    watcher: Watcher
    newest: PlanView | None
    state: clock.State
    plan: PlanView | None
    version: int
    names: Mapping[UUID, str] = field(repr=False)
    here: frozenset[UUID]
    flags: Mapping[UUID, str]
    stations: Mapping[UUID, Station]
    holders: Mapping[UUID, list[str]]

    @property
    def session(self) -> Session:
        return self.watcher.session

    @cached_property
    def field(self) -> OnField:
        """What adults said about the children."""
        return onfield_of(self.session.pk, self.here, self.plan)

    @cached_property
    def no_photos(self) -> set[UUID]:
        return consents.no_photos(self.here)

    @cached_property
    def snapshot(self) -> dict[str, Any]:
        """What the page's script starts from, as the socket would say it."""
        return messages.bell(messages.plain_state(self.state), self.version)

    @cached_property
    def seen(self) -> clock.View:
        return clock.view(self.state, int(messages.now_ms()))

    @property
    def outdated(self) -> bool:
        """The groups were planned anew while the bell runs, and it still goes by the old rounds."""
        return self.plan is not None and self.newest is not None and self.plan.version != self.newest.version

    @property
    def next_round(self) -> int | None:
        """The first round that has not begun."""
        behind = self.state.schedule.segments[self.seen.index + 1 :]
        return next((part.round for part in behind if part.kind == "work"), None)

    def group(self, group: GroupView, number: int | None = None) -> Group:
        """In a round; without one its own children who are here, wherever they are to be."""
        own = self.by_name(group.athletes)
        gone = tuple(self.names.get(child, "") for child in own if child not in self.here)
        if number is None:
            return Group(group.bib, tuple(self.child(child) for child in own if child in self.here), (), gone)
        stand = self.field.standing(number)
        away = tuple(away_words(self.names.get(child, ""), stand.away[child]) for child in own if child in stand.away)
        here = tuple(map(self.child, self.by_name(stand.groups[group.index])))
        return Group(group.bib, here, away, gone, tuple(child.name for child in here if child.id in self.no_photos))

    def by_name(self, children: Iterable[UUID]) -> list[UUID]:
        return sorted(children, key=lambda child: self.names.get(child, "").casefold())

    def child(self, child: UUID) -> Child:
        return Child(child, self.names.get(child, ""), self.flags.get(child, ""))

    def groups(self, groups: Iterable[GroupView], number: int | None = None) -> tuple[Group, ...]:
        return tuple(self.group(group, number) for group in groups)

    def clock(self, round_no: int) -> str:
        """When a round's work begins: as the bell runs now, else as planned; empty once it has begun."""
        at = self.state.schedule.work(round_no)
        if at is None:
            return ""
        if not self.state.started:
            ms = sum(part.ms for part in self.state.schedule.segments[:at])
            return self.wall(self.session.starts_at.astimezone(UTC) + timedelta(milliseconds=ms))
        if at <= self.seen.index or self.seen.ends_ms is None:
            return ""
        return self.wall(_instant(self.seen.ends_ms - self.state.schedule.ms_after(at) - self._ms(at)))

    def _ms(self, index: int) -> int:
        return self.state.schedule.segments[index].ms

    def wall(self, moment: datetime) -> str:
        """The clock on the club's wall."""
        return f"{moment.astimezone(self.session.club.zone):%H:%M}"

    @property
    def ends(self) -> str:
        """When it all ends as things stand."""
        if self.seen.ends_ms is not None:
            return self.wall(_instant(self.seen.ends_ms))
        return self.wall(self.session.ends_at)


def _instant(ms: int) -> datetime:
    return datetime.fromtimestamp(ms / 1000, UTC)


def evening_of(watcher: Watcher) -> Evening:
    """Read it all. The version first: what changes meanwhile is then asked for again, never missed."""
    session, version = watcher.session, version_of(watcher.session.pk)
    newest = rotation.current_plan(session.pk)
    state = played.state_of(session.pk, newest)
    plan = bridge.followed_plan(session.pk, state, newest)
    here = frozenset(register.here_ids(session.pk))
    children = here | (plan.placed if plan else frozenset())
    return Evening(
        watcher=watcher,
        newest=newest,
        state=state,
        plan=plan,
        version=version,
        names=names_for(session, set(children)),
        here=here,
        flags=_flags(session, children),
        stations={station.pk: station for station in planning.stations(session)},
        holders=queries.holders(session.pk),
    )


def _flags(session: Session, children: frozenset[UUID]) -> dict[UUID, str]:
    """That there is something to know; never what."""
    noted = dict.fromkeys(people.flagged(children), _("health"))
    noted |= dict.fromkeys(incident_rows.hurt_children(children), _("not cleared"))
    return noted | {child: _("go easy") for child in register.easy(session.pk) if child not in noted}


def turns(evening: Evening) -> list[Turn]:
    """Every round with all stations, for the leader."""
    plan = evening.plan
    return [
        Turn(
            number,
            evening.clock(number),
            tuple(_stand(evening, plan, station, number) for station in evening.stations.values()),
            evening.groups(plan.resting(number), number),
        )
        for number in _rounds(plan)
        if plan is not None
    ]


def _rounds(plan: PlanView | None) -> range:
    return range(1, 1 + (len(plan.rounds) if plan else 0))


def _stand(evening: Evening, plan: PlanView, station: Station, number: int) -> Stand:
    groups = evening.groups(plan.groups_at(station.pk, number), number)
    held_by = tuple(evening.holders.get(station.pk, ()))
    return Stand(station, groups, held_by, evening.field.tally(station.pk, number))


def visits(evening: Evening, station: Station) -> list[Visit]:
    """Every round at one station, for the adult who stands there."""
    plan = evening.plan
    if plan is None:
        return []
    last = len(plan.rounds)
    return [
        Visit(
            number=number,
            clock=evening.clock(number),
            here=evening.groups(plan.groups_at(station.pk, number), number),
            leaving=_ways(evening, plan, plan.groups_at(station.pk, number - 1), number),
            coming=evening.groups(plan.groups_at(station.pk, number + 1), number + 1),
            going=_ways(evening, plan, plan.groups_at(station.pk, number), number + 1),
            last=number == last,
        )
        for number in _rounds(plan)
    ]


def _ways(evening: Evening, plan: PlanView, groups: Iterable[GroupView], number: int) -> tuple[Way, ...]:
    """Where groups stand in a round; none behind the last one."""
    if number > len(plan.rounds):
        return ()
    return tuple(_way(evening, plan, group, number) for group in groups)


def _way(evening: Evening, plan: PlanView, group: GroupView, number: int) -> Way:
    station_id = plan.station_of(group.index, number)
    return Way(group.bib, evening.stations.get(station_id) if station_id else None)


def drawn_of(place: Station) -> str:
    """What a phone holds of a station's set-up: another word once that was changed, as by a move indoors."""
    told = json.dumps([place.number, place.name, place.set_up, place.diagram], sort_keys=True)
    return f"{crc32(told.encode()):08x}"
