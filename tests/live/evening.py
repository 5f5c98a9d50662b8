"""A running session: an evening with groups, commands as phones send them, helpers with a pass."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta
from typing import Any

from django.test import Client
from django.urls import reverse
from django.utils import timezone

from clubapp.live import actions, passes
from clubapp.live.access import Role, Watcher
from clubapp.live.actions import Answer, Order
from clubapp.live.messages import Tap
from clubapp.live.models import Pass, Visitor
from clubapp.people.models import User
from clubapp.planning.models import Session
from clubapp.rotation.models import Plan
from tests.cast import Cast
from tests.rotation.evening import everybody_here, made


def ready(cast: Cast, **more: Any) -> Plan:
    """Children here and groups made: the bell can start."""
    everybody_here(cast)
    return made(cast, **more)


def leader(cast: Cast) -> Watcher:
    return Watcher(cast.session, Role.LEADER, cast.hazel)


def assistant(cast: Cast) -> Watcher:
    return Watcher(cast.session, Role.ASSISTANT, cast.finn)


def give(watcher: Watcher, kind: str, seen: int = 0, op_id: uuid.UUID | None = None, **more: Any) -> Answer:
    """A command as the leader's phone sends it."""
    return actions.give_command(order=Order(watcher, Tap(op_id or uuid.uuid4(), kind, seen, **more)))


def post(client: Client, name: str, session: Session, **fields: Any) -> Any:
    return client.post(reverse(f"live:{name}", args=[session.pk]), fields)


def tap(client: Client, session: Session, **fields: Any) -> Any:
    """A button of the page, by a phone without a socket."""
    fields = {"op_id": str(uuid.uuid4()), **fields}
    return client.post(reverse("live:command", args=[session.pk]), fields, headers={"accept": "application/json"})


def pass_of(cast: Cast) -> Pass:
    """A pass of today's session, which is moved so that it runs now."""
    pass_ends(cast.session, timezone.now() + timedelta(minutes=60))
    return actions.make_pass(session=cast.session, by=cast.hazel)


def helper(entry: Pass, by: User | None, name: str = "Tom") -> tuple[Client, Visitor]:
    """A helper's phone at the gate, let in if somebody is named who does so."""
    client = Client()
    key = actions.come_to_gate(entry=entry, name=name)
    client.cookies[passes.COOKIE] = key
    visitor = Visitor.objects.get(key_hash=passes.hashed("key", key))
    if by is not None:
        actions.let_in(visitor=visitor, by=by)
    return client, visitor


def pass_ends(session: Session, at: datetime) -> None:
    """Move the session so that its pass is over at an instant."""
    starts = (at - timedelta(minutes=session.minutes + 30)).astimezone(session.club.zone)
    session.date, session.starts = starts.date(), starts.time()
    session.save()


def pass_over(session: Session) -> None:
    pass_ends(session, timezone.now() - timedelta(seconds=1))
