"""The only sender on the channel layer: "something changed in this session, version 41"."""

from __future__ import annotations

import asyncio
import logging
from typing import Any
from uuid import UUID

from asgiref.sync import async_to_sync
from channels.layers import get_channel_layer
from django.db import connection, transaction

from clubapp.core.models import SessionVersion

log = logging.getLogger(__name__)

PEOPLE = "people"  # one group for everybody's farewells: each process looks for the person among its own sockets
PATIENCE_S = 2.0  # so long a write waits for a channel layer that does not answer
# In one question, for every phone waits for it; SQLite and PostgreSQL both know these words.
RAISE = """INSERT INTO core_sessionversion (session_id, version) VALUES (%s, 1)
ON CONFLICT (session_id) DO UPDATE SET version = core_sessionversion.version + 1 RETURNING version"""


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
    version = _raised(session_id)
    message = {"type": "hint", "what": what, "version": version, **extra}
    transaction.on_commit(lambda: send(session_group(session_id), message))
    return version


def _raised(session_id: UUID) -> int:
    key = SessionVersion._meta.pk.get_db_prep_value(session_id, connection)
    with connection.cursor() as cursor:
        cursor.execute(RAISE, [key])
        return int(cursor.fetchone()[0])


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
