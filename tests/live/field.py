"""Taps of an assistant, a helper and the leader on the field."""

from __future__ import annotations

import uuid
from datetime import datetime
from typing import Any
from uuid import UUID

from django.test import Client
from django.urls import reverse

from clubapp.live import actions, played
from clubapp.live.access import Watcher
from clubapp.live.actions import Count, Hearing, Sent, Word
from clubapp.live.onfield import OnField, onfield_of
from clubapp.people.models import Athlete
from clubapp.planning.models import Session, Station
from clubapp.register import queries as register
from clubapp.register.actions import Tap
from tests.cast import Cast
from tests.live.evening import assistant

JSON = {"accept": "application/json"}


def sent(by: Watcher, op_id: UUID | None = None, at: datetime | None = None, base_version: int = 0) -> Sent:
    return Sent(by, Tap(by.user, op_id or uuid.uuid4(), f"phone of {by.role}", at, base_version))


def station(cast: Cast, number: int = 1) -> Station:
    return cast.session.stations.get(number=number)


def field_of(cast: Cast) -> OnField:
    session_id = cast.session.pk
    return onfield_of(session_id, frozenset(register.here_ids(session_id)), played.plan_now(session_id))


def standing(cast: Cast, number: int = 1, round_no: int = 1) -> list[Athlete]:
    """The children who are to stand at a station."""
    ids = field_of(cast).expected(station(cast, number).pk, round_no)
    return [Athlete.objects.get(pk=child) for child in ids]


def count(cast: Cast, counted: int, number: int = 1, round_no: int = 1, **how: Any) -> dict[str, Any]:
    by = how.pop("by", None) or assistant(cast)
    return actions.count_heads(count=Count(station(cast, number), round_no, counted), sent=sent(by, **how))


def say(cast: Cast, child: Athlete, kind: str, **more: Any) -> dict[str, Any]:
    by = more.pop("by", None) or assistant(cast)
    how = {name: more.pop(name) for name in ("op_id", "at", "base_version") if name in more}
    return actions.say_where(athlete=child, word=Word(kind, **more), sent=sent(by, **how))


def hear(cast: Cast, about: UUID, by: Watcher, **more: Any) -> dict[str, Any]:
    return actions.hear(hearing=Hearing(about, **more), sent=sent(by))


def send(client: Client, name: str, session: Session, *ids: Any, **fields: Any) -> Any:
    """What a phone's script posts."""
    return client.post(reverse(f"live:{name}", args=[session.pk, *ids]), fields, headers=JSON)
