"""The only door to a running session: adults with an account by their rights, helpers by their pass."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from uuid import UUID

from django.db.models import Q, QuerySet
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils import timezone

from clubapp.live import passes
from clubapp.live.models import Incident, KeptIncident, Pass, Room, Visitor
from clubapp.people.access import Person
from clubapp.people.models import Athlete, Membership, User
from clubapp.people.models import Role as ClubRole
from clubapp.planning.access import led_session_for, may_edit, visible_to
from clubapp.planning.models import Session, Station
from clubapp.register import queries as register
from clubapp.register.access import expected
from clubapp.register.models import Mark
from clubapp.register.queries import HERE_KINDS

PASS_AFTER_END = timedelta(minutes=30)
PASS_AFTER_BELL = timedelta(minutes=5)  # as long as the end can be taken back


class Role(StrEnum):
    LEADER = "leader"
    ASSISTANT = "assistant"
    HELPER = "helper"
    GATE = "gate"  # came with a pass, not yet let in: sees the clock and nothing else


@dataclass(frozen=True)
class Watcher:
    """Somebody before the bell. Exactly one of user and visitor is there."""

    session: Session
    role: Role
    user: User | None = None
    visitor: Visitor | None = None

    @property
    def id(self) -> UUID:
        """Names this adult's sockets."""
        if self.visitor is not None:
            return self.visitor.pk
        assert self.user is not None
        return self.user.pk

    @property
    def leads(self) -> bool:
        return self.role is Role.LEADER

    @property
    def inside(self) -> bool:
        return self.role is not Role.GATE

    @property
    def until(self) -> datetime | None:
        """When a pass is over; None for an account."""
        return good_until(self.session) if self.visitor else None


def good_until(session: Session) -> datetime:
    """A pass dies half an hour after the planned end, or five minutes after the leader ended the session."""
    planned = session.ends_at + PASS_AFTER_END
    ended = Room.objects.filter(session=session).values_list("ended_at", flat=True).first()
    return min(planned, ended + PASS_AFTER_BELL) if ended else planned


def find(user: Person, key: str, session_id: UUID) -> Watcher | None:
    """Who this is to a session: by account first, else by the key in a visitor's cookie; None for a stranger."""
    return _by_account(user, session_id) or _by_pass(key, session_id)


def leader_for(user: Person, session_id: UUID) -> Watcher:
    """The adult who runs the session, or 404."""
    session = led_session_for(user, session_id)
    assert isinstance(user, User)
    return Watcher(session, Role.LEADER, user)


def may_give(watcher: Watcher, kind: str) -> bool:
    """The leader gives every command; any adult with an account may stop everything, also for thunder."""
    return watcher.leads or (watcher.role is Role.ASSISTANT and kind in ("stop", "thunder"))


def _by_account(user: Person, session_id: UUID) -> Watcher | None:
    if not user.is_authenticated or not user.is_active:
        return None
    session = visible_to(user).filter(pk=session_id).first()
    if session is None:
        return None
    return Watcher(session, Role.LEADER if may_edit(user, session) else Role.ASSISTANT, user)


def _by_pass(key: str, session_id: UUID) -> Watcher | None:
    visitor = visitor_by_key(key)
    if visitor is None or visitor.entry.session_id != session_id or not still_good(visitor):
        return None
    return Watcher(visitor.entry.session, Role.HELPER if visitor.let_in_at else Role.GATE, visitor=visitor)


def visitor_by_key(key: str) -> Visitor | None:
    """Whoever holds this cookie, also when the pass is over."""
    rows = Visitor.objects.select_related("entry__session__club", "entry__session__squad")
    return rows.filter(key_hash=passes.hashed("key", key)).first() if key else None


def still_good(visitor: Visitor) -> bool:
    return visitor.refused_at is None and is_good(visitor.entry)


def is_good(entry: Pass) -> bool:
    return entry.revoked_at is None and timezone.now() < good_until(entry.session)


def pass_by_token(token: str) -> Pass:
    """The pass behind a link, or 404 if it is wrong or over: both look alike from outside."""
    rows = Pass.objects.select_related("session__club", "session__squad")
    entry = get_object_or_404(rows, token_hash=passes.hashed("token", token))
    if not is_good(entry):
        raise Http404
    return entry


def pass_by_code(code: str) -> Pass | None:
    """The pass behind a spoken code; None if it is wrong or over."""
    rows = Pass.objects.select_related("session__club").filter(code_hash=passes.hashed("code", passes.heard(code)))
    return next((entry for entry in rows.order_by("-made_at") if is_good(entry)), None)


def visitor_for(session: Session, visitor_id: UUID) -> Visitor:
    """Somebody who came with a pass of this session, or 404."""
    return get_object_or_404(Visitor.objects.select_related("entry__session"), pk=visitor_id, entry__session=session)


def station_of(watcher: Watcher, station_id: UUID) -> Station:
    return get_object_or_404(Station, pk=station_id, session=watcher.session)


def child_of(watcher: Watcher, athlete_id: UUID) -> Athlete:
    """A child on this session's register, or 404; to a helper only those who are here exist."""
    rows = expected(watcher.session)
    if watcher.visitor:
        rows = rows.filter(pk__in=register.here_ids(watcher.session.pk))
    return get_object_or_404(rows, pk=athlete_id)


def tonight(watcher: Watcher) -> QuerySet[Athlete]:
    """Whom something may be written about that happened tonight: one of them may have gone home meanwhile, and the
    phone had no network. All on this register; to a helper only those who were here.
    """
    rows = expected(watcher.session)
    if watcher.visitor:
        rows = rows.filter(pk__in=Mark.objects.filter(session=watcher.session, kind__in=HERE_KINDS).values("athlete"))
    return rows


def child_of_tonight(watcher: Watcher, athlete_id: UUID) -> Athlete:
    """One of them, or 404."""
    return get_object_or_404(tonight(watcher), pk=athlete_id)


def incidents_visible_to(user: Person) -> QuerySet[Incident]:
    """The head coach's and the welfare officer's whole club; to an assistant the own notes."""
    if not user.is_authenticated:
        return Incident.objects.none()
    trusted = Membership.objects.filter(user=user, role__in=(ClubRole.HEAD_COACH, ClubRole.WELFARE)).values("club")
    mine = Q(by=user, session__club__memberships__user=user)
    rows = Incident.objects.filter(Q(session__club__in=trusted) | mine).distinct()
    return rows.select_related("session__club", "session__squad", "athlete", "station", "by", "visitor")


def incident_for(user: Person, incident_id: UUID) -> Incident:
    """A note this adult may read, or 404."""
    return get_object_or_404(incidents_visible_to(user), pk=incident_id)


def injury_of(watcher: Watcher, athlete: Athlete, incident_id: UUID) -> Incident:
    """A suspected head injury of a child on this register, without the words of its note; or 404."""
    rows = Incident.objects.filter(athlete=athlete, head_injury=True, session__club=watcher.session.club_id)
    return get_object_or_404(rows.select_related("session__club", "athlete"), pk=incident_id)


def reads_incidents(user: Person) -> bool:
    """Whether notes of a club are this adult's to read, also while there are none."""
    trusted = (ClubRole.HEAD_COACH, ClubRole.WELFARE)
    return user.is_authenticated and Membership.objects.filter(user=user, role__in=trusted).exists()


def kept_visible_to(user: Person) -> QuerySet[KeptIncident]:
    """Notes of children whose record is erased: the head coach's and the welfare officer's."""
    trusted = (ClubRole.HEAD_COACH, ClubRole.WELFARE)
    clubs = Membership.objects.filter(user=user.pk, role__in=trusted).values("club")
    return KeptIncident.objects.filter(club__in=clubs).order_by("-happened_on", "pk")


def kept_for(user: Person, kept_id: UUID) -> KeptIncident:
    return get_object_or_404(kept_visible_to(user), pk=kept_id)


def may_withdraw(user: User, incident: Incident) -> bool:
    """Who runs the session, or reads the club's notes, may say that one was a mistake."""
    trusted = (ClubRole.HEAD_COACH, ClubRole.WELFARE)
    rows = Membership.objects.filter(user=user, club=incident.session.club_id, role__in=trusted)
    return rows.exists() or may_edit(user, incident.session)


def author_of(user: User, incident: Incident) -> Watcher:
    """Who adds to a note, perhaps from a desk days later."""
    leads = may_edit(user, incident.session)
    return Watcher(incident.session, Role.LEADER if leads else Role.ASSISTANT, user)
