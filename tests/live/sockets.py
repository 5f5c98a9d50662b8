"""A phone's socket, through the whole application: origin, sign-in, routing."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from asgiref.testing import ApplicationCommunicator
from channels.db import database_sync_to_async
from channels.testing import WebsocketCommunicator
from django.conf import settings
from django.test import Client

from clubapp.asgi import application
from clubapp.live import passes

HOME = b"http://localhost"


class Line(WebsocketCommunicator):  # type: ignore[misc]
    """Threads give their database connections back, as they do in a real server.

    The one of Channels keeps them open, for tests inside a transaction. Each event loop brings threads of its own, so
    that a few tests would empty PostgreSQL's pool, and what is left open would hold the tests' database.
    """

    send_input = ApplicationCommunicator.send_input
    receive_output = ApplicationCommunicator.receive_output


class Phone:
    """One open socket. `async with` connects and, at the end, leaves."""

    def __init__(self, client: Client, session_id: UUID, origin: bytes = HOME) -> None:
        names = (settings.SESSION_COOKIE_NAME, passes.COOKIE)
        cookies = "; ".join(f"{name}={client.cookies[name].value}" for name in names if name in client.cookies)
        headers = [(b"origin", origin), (b"host", b"localhost"), (b"cookie", cookies.encode())]
        self.line = Line(application, f"/ws/bell/{session_id}/", headers=headers)
        self.accepted = False
        self.code: Any = None

    async def __aenter__(self) -> Phone:
        self.accepted, self.code = await self.line.connect(timeout=10)
        return self

    async def __aexit__(self, *_: object) -> None:
        await self.line.disconnect()

    async def say(self, message: dict[str, Any]) -> None:
        await self.line.send_json_to(message)

    async def hear(self, kind: str = "") -> dict[str, Any]:
        """The next message, or the next of a kind."""
        while True:
            message: dict[str, Any] = await self.line.receive_json_from(timeout=10)
            if not kind or message["type"] == kind:
                return message

    async def closing(self) -> int:
        """The code the server closes with; what it says before that is not listened to."""
        while True:
            message = await self.line.receive_output(timeout=10)
            if message["type"] == "websocket.close":
                return int(message["code"])

    async def is_quiet(self) -> bool:
        return bool(await self.line.receive_nothing(timeout=0.2))


in_database = database_sync_to_async
