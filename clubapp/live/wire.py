"""The way out to one phone: nobody waits for another, and a phone that does not read is let go to come again."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Coroutine, Generator, Iterator
from contextlib import contextmanager
from typing import Any
from uuid import UUID

Send = Callable[[dict[str, Any]], Awaitable[None]]
Take = Callable[[bytes], bool]  # a whole frame of RFC 6455 -> whether the socket took it at once

# Our server's extension of ASGI: its "take" is a Take, so that a frame is made once for all sockets.
FRAMES = "fieldbell.frames"

RESTARTED, BUSY = 1012, 1013  # RFC 6455's registry: come again, now or a little later
SLOW_S = 5  # a phone that takes longer to read is asleep; it asks again when it wakes
MOST_HELD = 50


class Words:
    """What is said, made ready once for however many phones."""

    __slots__ = ("frame", "text")

    def __init__(self, text: str) -> None:
        self.text, self.frame = text, framed(text)


def framed(text: str) -> bytes:
    """One unmasked text frame, as a server sends it (RFC 6455, 5.2)."""
    data = text.encode()
    size = len(data)
    if size < 126:
        return bytes((0x81, size)) + data
    return (b"\x81\x7e" + size.to_bytes(2) if size < 65_536 else b"\x81\x7f" + size.to_bytes(8)) + data


class Wire:
    """One open socket's sending half. Belongs to the task that made it, which a dead phone ends.

    take: for whole frames, where the server has such a way; without one all goes through `send`.
    """

    __slots__ = ("__weakref__", "adult", "ending", "held", "missed", "owner", "send", "sending", "take")

    def __init__(self, send: Send, adult: UUID, take: Take | None = None) -> None:
        self.send, self.adult, self.take = send, adult, take
        self.owner = asyncio.current_task()
        self.ending = False
        self.sending: asyncio.Task[None] | None = None
        self.missed = False
        self.held: list[Words] | None = []  # until the phone has been told how things stand

    # --- to many: no waiting ---

    def put(self, words: Words) -> None:
        """Say without waiting. A phone that has not taken the last word yet is let go: it has missed something."""
        if self.ending:
            return  # nothing may follow a farewell
        if self.held is not None:
            self.held.append(words)
            del self.held[:-MOST_HELD]  # a gap in the versions makes the phone ask
        elif self.sending is not None:
            self.missed = True
        elif self.take is None or not self.take(words.frame):
            self._begin({"type": "websocket.send", "text": words.text})

    def close(self, code: int) -> None:
        """Say farewell, without waiting for it."""
        if not self.ending:
            self.ending = True
            self._begin({"type": "websocket.close", "code": code})

    @contextmanager
    def holding(self) -> Iterator[None]:
        """What is said to all meanwhile follows after what this phone is being told."""
        if self.held is None:
            self.held = []
        try:
            yield
        finally:
            held, self.held = self.held or [], None
            for words in held:
                self.put(words)

    def _begin(self, message: dict[str, Any]) -> None:
        """Nearly every phone takes a message at once: only for one that does not is there a task that waits."""
        step = self._out(message)
        try:
            waits = step.send(None)
        except StopIteration:
            return
        except Exception:
            return  # it has hung up, which its own task hears by itself
        self.sending = asyncio.ensure_future(self._finish(_Begun(step, waits)))

    async def _out(self, message: dict[str, Any]) -> None:
        await self.send(message)

    async def _finish(self, begun: _Begun) -> None:
        try:
            async with asyncio.timeout(SLOW_S):
                await begun
        except TimeoutError:
            self.cut()
        except Exception:
            return
        finally:
            self.sending = None
        if self.missed:
            self.close(BUSY)

    # --- to one: its own task waits ---

    async def say(self, text: str) -> None:
        """Say to this phone; words to a dead one end its task."""
        if self.ending or (self.take is not None and self.take(framed(text))):
            return
        try:
            async with asyncio.timeout(SLOW_S):
                await self.send({"type": "websocket.send", "text": text})
        except TimeoutError:
            self.cut()

    def cut(self) -> None:
        """Not even a farewell would get through."""
        self.ending = True
        if self.owner is not None:
            self.owner.cancel()


class _Begun:
    """The rest of a coroutine whose first step was taken outside any task."""

    def __init__(self, step: Coroutine[Any, Any, None], waits: Any) -> None:
        self.step, self.waits = step, waits

    def __await__(self) -> Generator[Any, Any, None]:
        waits = self.waits
        while True:
            try:
                got = yield waits
            except BaseException as error:
                given: BaseException | None = error
            else:
                given = None
            try:
                waits = self.step.send(got) if given is None else self.step.throw(given)
            except StopIteration:
                return
