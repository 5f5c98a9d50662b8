"""The only sender on the channel layer: "something changed in this session, version 41"."""

from __future__ import annotations

import asyncio
import logging
from typing import Any
from uuid import UUID

from asgiref.sync import async_to_sync
from channels.layers import get_channel_layer
from django.db import transaction
from django.db.models import F

from clubapp.core.models import SessionVersion

log = logging.getLogger(__name__)

PEOPLE = "people"  # one group for everybody's farewells: each process looks for the person among its own sockets
PATIENCE_S = 2.0  # so long a write waits for a channel layer that does not answer


def session_group(session_id: UUID | str) -> str:
    """The channel-layer group of everybody who watches a session."""
    return f"session.{session_id}"


def version_of(session_id: UUID) -> int:
    """The session's counter; 0 before the first write."""
    row = SessionVersion.objects.filter(session_id=session_id).first()
    return row.version if row else 0


def tell(session_id: UUID, what: str, **extra: Any) -> int:
    """Raise the session's counter in this transaction and, once committed, hint to every phone.

    Returns the new version. Must be called inside a transaction; a lost hint costs nothing.
    """
    row = SessionVersion.objects.filter(session_id=session_id)
    if not row.update(version=F("version") + 1):
        SessionVersion.objects.get_or_create(session_id=session_id)
        row.update(version=F("version") + 1)
    version = SessionVersion.objects.get(session_id=session_id).version
    message = {"type": "hint", "what": what, "version": version, **extra}
    transaction.on_commit(lambda: send(session_group(session_id), message))
    return version


def close_sockets(user_id: UUID, *, code: int = 4001) -> None:
    """After commit, close every socket this person holds: signed out, or rights gone."""
    transaction.on_commit(lambda: send(PEOPLE, {"type": "closed", "user": str(user_id), "code": code}))


def send(group: str, message: dict[str, Any]) -> None:
    """Send, and carry on if the channel layer is down: the write stands and phones ask again."""
    layer = get_channel_layer()
    if layer is None:
        return
    try:
        async_to_sync(_sent)(layer, group, message)
    except Exception:
        # A broker that is away raises what its client library likes; none of it may undo a register.
        log.warning("hint not sent: channel layer unavailable", exc_info=True)


async def _sent(layer: Any, group: str, message: dict[str, Any]) -> None:
    async with asyncio.timeout(PATIENCE_S):
        await layer.group_send(group, message)
