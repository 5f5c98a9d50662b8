"""Reads over a running session."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Q, QuerySet
from django.utils import timezone

from clubapp.live.access import Watcher
from clubapp.live.models import Command, Pass, Room, StationHold, Visitor
from clubapp.people.access import Person
from clubapp.people.models import Membership, Role
from clubapp.planning.access import visible_to
from clubapp.planning.models import Session
from clubapp.rotation.models import Plan
from clubapp.rotation.queries import PlanView, may_take_back, newest, shown

AT_GATE = 100  # more than a pass is ever for
UNDO = timedelta(seconds=10)  # for a repair, as for the bell


def room_of(session_id: UUID) -> Room | None:
    return Room.objects.filter(session=session_id).first()


def running_for(user: Person) -> UUID | None:
    """A session of today or of last night whose bell has begun and not ended, in which this adult works."""
    since = timezone.now() - timedelta(hours=12)
    rows = Room.objects.filter(session__in=visible_to(user), ended_at=None, opened_at__gte=since)
    begun = rows.filter(commands__kind="start").order_by("-opened_at")
    return begun.values_list("session", flat=True).first()


LINE = ("op_id", "room_id", "seq", "seen", "kind", "args", "at_ms", "answer")


def log_of(session_id: UUID, since: int = 0) -> QuerySet[Command]:
    """The commands of a session's bell from a number on, the first first."""
    return Command.objects.filter(room__session=session_id, seq__gte=since).order_by("seq").only(*LINE)


def log_and(room: Room, op_id: UUID, since: int) -> QuerySet[Command]:
    """The same, and whatever became of this tap before, also on another session's bell."""
    rows = Command.objects.filter(Q(room=room, seq__gte=since) | Q(op_id=op_id))
    return rows.order_by("seq").only(*LINE)


def plan_version(session_id: UUID, version: int) -> PlanView | None:
    """A plan as it stood under a version."""
    row = Plan.objects.filter(session=session_id, version=version).first()
    return shown(row) if row else None


def repaired_just_now(session_id: UUID) -> int:
    """The version of a plan repaired so lately that it can be taken back; 0 without one."""
    row = newest(session_id)
    lately = row is not None and timezone.now() - row.made_at < UNDO
    return row.version if row is not None and lately and may_take_back(row) else 0


def open_pass(session: Session) -> Pass | None:
    """The pass to show; there is one at a time."""
    return Pass.objects.filter(session=session, revoked_at=None).order_by("-made_at").first()


def at_gate(session: Session) -> QuerySet[Visitor]:
    """Who waits to be let in."""
    rows = Visitor.objects.filter(entry__session=session, entry__revoked_at=None, refused_at=None, let_in_at=None)
    return rows.order_by("came_at")


def helpers(session: Session) -> QuerySet[Visitor]:
    """Who was let in by a pass that is still good."""
    rows = Visitor.objects.filter(entry__session=session, entry__revoked_at=None, refused_at=None)
    return rows.exclude(let_in_at=None).order_by("name", "came_at")


@dataclass(frozen=True)
class Came:
    """Somebody who came with a pass, as the club's wall clock showed it. inside: the pass still opens the door."""

    visitor: Visitor
    came: str
    let_in: str
    by: str
    sent_away: str
    pass_ended: str

    @property
    def inside(self) -> bool:
        return bool(self.let_in) and not self.sent_away and not self.pass_ended


def came_in(session: Session) -> list[Came]:
    """Everybody who ever stood at the gate, refused ones too, in the order in which they came."""

    def clock(moment: datetime | None) -> str:
        return f"{moment.astimezone(session.club.zone):%H:%M}" if moment else ""

    rows = Visitor.objects.filter(entry__session=session).select_related("entry", "let_in_by")
    return [
        Came(
            visitor=row,
            came=clock(row.came_at),
            let_in=clock(row.let_in_at),
            by=row.let_in_by.name if row.let_in_by else "",
            sent_away=clock(row.refused_at),
            pass_ended=clock(row.entry.revoked_at),
        )
        for row in rows.order_by("came_at", "pk")
    ]


def workers(session: Session) -> list[str]:
    """Names of the adults with an account who may work in a session."""
    rows = Membership.objects.filter(workers_of(session), club=session.club_id).select_related("user")
    return sorted({row.user.name for row in rows})


def workers_of(session: Session) -> Q:
    """Memberships that work in a session."""
    return Q(role=Role.HEAD_COACH) | Q(role=Role.ASSISTANT, squads=session.squad_id)


def hold_rows(session_id: UUID) -> list[StationHold]:
    """The newest of each adult; a helper who was sent away holds nothing."""
    rows = StationHold.objects.filter(room__session=session_id).select_related("user", "visitor__entry")
    last = {row.user_id or row.visitor_id: row for row in rows.order_by("at")}
    return [row for row in last.values() if row.visitor is None or _may_hold(row.visitor)]


def _may_hold(visitor: Visitor) -> bool:
    return visitor.refused_at is None and visitor.entry.revoked_at is None


def holders(session_id: UUID) -> dict[UUID, list[str]]:
    """By station, the names of the adults who look after it."""
    found: dict[UUID, list[str]] = defaultdict(list)
    for row in hold_rows(session_id):
        person = row.user or row.visitor
        if person is not None:
            found[row.station_id].append(person.name)
    return {station: sorted(names) for station, names in found.items()}


def stations_held(session_id: UUID) -> dict[UUID, UUID]:
    """By adult, the station that adult looks after."""
    return {row.user_id or row.visitor_id: row.station_id for row in hold_rows(session_id)}  # type: ignore[misc]


def station_held_by(watcher: Watcher) -> UUID | None:
    """The station this adult chose last."""
    rows = (row for row in hold_rows(watcher.session.pk) if watcher.id in (row.user_id, row.visitor_id))
    return next((row.station_id for row in rows), None)
