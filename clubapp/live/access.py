"""The only door to a running session: adults with an account by their rights, helpers by their pass."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from uuid import UUID

from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils import timezone

from clubapp.live import passes
from clubapp.live.models import Pass, Visitor
from clubapp.people.access import Person
from clubapp.people.models import Athlete, User
from clubapp.planning.access import led_session_for, may_edit, visible_to
from clubapp.planning.models import Session, Station
from clubapp.register import queries as register
from clubapp.register.access import expected

PASS_AFTER_END = timedelta(minutes=30)


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
    """A pass dies half an hour after the planned end, whatever the bell says."""
    return session.ends_at + PASS_AFTER_END


def find(user: Person, key: str, session_id: UUID) -> Watcher | None:
    """Who this is to a session: by account first, else by the key in a visitor's cookie; None for a stranger."""
    return _by_account(user, session_id) or _by_pass(key, session_id)


def leader_for(user: Person, session_id: UUID) -> Watcher:
    """The adult who runs the session, or 404."""
    session = led_session_for(user, session_id)
    assert isinstance(user, User)
    return Watcher(session, Role.LEADER, user)


def may_give(watcher: Watcher, kind: str) -> bool:
    """The leader gives every command; any adult with an account may stop everything."""
    return watcher.leads or (watcher.role is Role.ASSISTANT and kind == "stop")


def _by_account(user: Person, session_id: UUID) -> Watcher | None:
    if not user.is_authenticated or not User.objects.filter(pk=user.pk, is_active=True).exists():
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
