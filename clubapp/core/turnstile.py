"""So many requests at work at once, the others in order: a server that is asked for too much must come back by itself.

Django gives every request a thread of its own and lets it run on when the phone has given up, so phones that ask again
would pile up threads until nothing is answered any more.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Any, Any, Any], Awaitable[None]]

AT_WORK = 8  # more only wait for one another at the database
PATIENCE_S = 5.0  # phones ask again by themselves, and give up after ten seconds
AGAIN_S = 2
BUSY = b"Too many phones at once. Try again in a moment: nothing is lost."


class Turnstile:
    """An ASGI application that lets requests of `app` in, `most` at once. Whoever waits longer than `patience_s` is
    told to come again (503); whoever hangs up meanwhile is not let in at all.
    """

    def __init__(self, app: App, *, most: int = AT_WORK, patience_s: float = PATIENCE_S) -> None:
        self.app, self.patience_s = app, patience_s
        self.places = asyncio.Semaphore(most)

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        body = _Body(receive)
        if not await body.begun():
            return
        try:
            if not await self._let_in(body):
                if not body.is_gone:
                    await _away(send)
                return
            try:
                await self.app(scope, body.receive, send)
            finally:
                self.places.release()
        finally:
            body.end()

    async def _let_in(self, body: _Body) -> bool:
        """A place, unless patience or the caller is gone first."""
        place = asyncio.ensure_future(self.places.acquire())
        waits: set[asyncio.Future[Any]] = {place, body.hang_up} if body.hang_up else {place}
        await asyncio.wait(waits, timeout=self.patience_s, return_when=asyncio.FIRST_COMPLETED)
        if place.done() and not body.is_gone:
            return True
        if place.done() or not place.cancel():
            self.places.release()
        return False


class _Body:
    """What the caller sends. The application is not told that a caller has hung up: its thread would run on unseen, and
    the place would be given away under it.
    """

    def __init__(self, receive: Receive) -> None:
        self._receive = receive
        self._first: Message | None = None
        self._more = True
        self.hang_up: asyncio.Future[Message] | None = None

    async def begun(self) -> bool:
        """Whether the caller is still there once its first words are. A short body is whole by then."""
        self._first = await self._receive()
        self._more = bool(self._first.get("more_body"))
        is_there = bool(self._first["type"] == "http.request")
        if is_there and not self._more:
            self.hang_up = asyncio.ensure_future(self._receive())
        return is_there

    @property
    def is_gone(self) -> bool:
        return self.hang_up is not None and self.hang_up.done()

    async def receive(self) -> Message:
        if self._first is not None:
            first, self._first = self._first, None
            return first
        if self._more:
            message = await self._receive()
            self._more = bool(message.get("more_body"))
            return message
        return await asyncio.get_running_loop().create_future()  # type: ignore[no-any-return]

    def end(self) -> None:
        if self.hang_up is not None:
            self.hang_up.cancel()


async def _away(send: Send) -> None:
    headers = [(b"content-type", b"text/plain; charset=utf-8"), (b"retry-after", str(AGAIN_S).encode())]
    headers += [(b"cache-control", b"no-store"), (b"x-content-type-options", b"nosniff")]
    await send({"type": "http.response.start", "status": 503, "headers": headers})
    await send({"type": "http.response.body", "body": BUSY})
