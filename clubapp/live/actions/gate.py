"""Passes, and the helpers who come with them."""

from __future__ import annotations

import uuid

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from clubapp.core.audit import record
from clubapp.core.tell import close_sockets, tell
from clubapp.live import passes, queries
from clubapp.live.actions.room import RefusedError
from clubapp.live.models import Pass, Visitor
from clubapp.people.models import User
from clubapp.planning.models import Session

GONE = 4003  # the socket's code for rights that ended: do not come back


@transaction.atomic
def make_pass(*, session: Session, by: User) -> Pass:
    """A new pass; an older one, if any, goes with everybody who came by it."""
    for old in Pass.objects.select_for_update().filter(session=session, revoked_at=None):
        revoke(entry=old, by=by)
    pass_id = uuid.uuid4()
    while Pass.objects.filter(code_hash=passes.hashed("code", passes.code_of(pass_id)), revoked_at=None).exists():
        pass_id = uuid.uuid4()
    entry = Pass.objects.create(
        pk=pass_id,
        session=session,
        token_hash=passes.hashed("token", passes.token_of(pass_id)),
        code_hash=passes.hashed("code", passes.code_of(pass_id)),
        made_by=by,
    )
    record(club_id=session.club_id, user_id=by.pk, verb="made", kind="pass", about=entry.pk)
    return entry


@transaction.atomic
def come_to_gate(*, entry: Pass, name: str) -> str:
    """Somebody stands at the gate under a name. Returns the key for their cookie; only its hash is kept."""
    if queries.at_gate(entry.session).count() >= queries.AT_GATE:
        raise RefusedError(_("Too many people wait at this gate. Ask the leader to let some in first."))
    key = passes.new_key()
    Visitor.objects.create(entry=entry, name=name, key_hash=passes.hashed("key", key))
    tell(entry.session_id, "gate")
    return key


@transaction.atomic
def let_in(*, visitor: Visitor, by: User) -> None:
    """From now on this helper sees first names and flags of tonight."""
    visitor.let_in_at, visitor.let_in_by, visitor.refused_at = timezone.now(), by, None
    visitor.save(update_fields=["let_in_at", "let_in_by", "refused_at"])
    _record(visitor, by, "let in")
    tell(visitor.entry.session_id, "gate")


@transaction.atomic
def refuse(*, visitor: Visitor, by: User) -> None:
    """Not let in, or sent away again."""
    visitor.refused_at = timezone.now()
    visitor.save(update_fields=["refused_at"])
    _record(visitor, by, "refused")
    tell(visitor.entry.session_id, "gate")
    close_sockets(visitor.pk, code=GONE)


@transaction.atomic
def revoke(*, entry: Pass, by: User) -> None:
    """The pass opens nothing any more, and whoever came by it is outside."""
    entry.revoked_at = timezone.now()
    entry.save(update_fields=["revoked_at"])
    record(club_id=entry.session.club_id, user_id=by.pk, verb="revoked", kind="pass", about=entry.pk)
    tell(entry.session_id, "gate")
    for visitor in entry.visitors.filter(refused_at=None):
        close_sockets(visitor.pk, code=GONE)


def _record(visitor: Visitor, by: User, verb: str) -> None:
    record(club_id=visitor.entry.session.club_id, user_id=by.pk, verb=verb, kind="helper", about=visitor.pk)
