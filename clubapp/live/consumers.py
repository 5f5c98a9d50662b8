"""A phone's socket: the bell as data, hints for all else, commands in. Rights are asked for again at each command."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable
from datetime import datetime
from typing import Any
from uuid import UUID

from django.utils import timezone

from clubapp.core.tell import version_of
from clubapp.core.threads import in_database
from clubapp.live import actions, hub, messages, played, presence, sentences
from clubapp.live.access import Watcher
from clubapp.live.actions import Order, RefusedError
from clubapp.live.callers import Caller
from clubapp.live.messages import BadMessageError, Ping, Tap
from clubapp.live.wire import FRAMES, Send, Take, Wire

log = logging.getLogger(__name__)
Receive = Callable[[], Awaitable[dict[str, Any]]]

SIGNED_OUT, GONE = 4001, 4003  # our own closing codes: do not come back
TRY_AGAIN = 1013
ASKED_AGAIN_S = 30  # so often a phone that only listens is asked for its rights


async def bell_socket(scope: dict[str, Any], receive: Receive, send: Send) -> None:
    """Find the session through the person, or turn the phone away before it is let on."""
    await receive()  # the phone asks to be let on
    caller = Caller.of(scope)
    entering = await _entering(caller)
    if entering is None:
        await send({"type": "websocket.close", "code": GONE})
        return
    adult, until = entering
    phone = BellSocket(caller, Wire(send, adult, _take(scope)))
    try:
        await phone.serve(receive, until)
    except asyncio.CancelledError:
        if not phone.wire.ending:
            raise
    finally:
        await phone.leave()


def _take(scope: dict[str, Any]) -> Take | None:
    """The server's way for whole frames, where it has one."""
    found: Take | None = scope.get("extensions", {}).get(FRAMES, {}).get("take")
    return found


class BellSocket:
    """One phone. It keeps nothing that it could not ask for again, and little of that: there are thousands."""

    __slots__ = ("asked_at", "caller", "over", "room", "wire")

    def __init__(self, caller: Caller, wire: Wire) -> None:
        self.caller, self.wire = caller, wire
        self.over: asyncio.TimerHandle | None = None
        self.asked_at = asyncio.get_running_loop().time()
        self.room: hub.Watched | None = None

    # --- coming and going ---

    async def serve(self, receive: Receive, until: datetime | None) -> None:
        """Until one side hangs up."""
        try:
            self.room = await hub.here().join(self.caller.session_id, self.wire, _looked)
        except Exception:
            # Without its channel layer the server could tell this phone nothing: it polls and comes again.
            log.warning("a phone is to come again: channel layer unavailable", exc_info=True)
            await self.wire.send({"type": "websocket.close", "code": TRY_AGAIN})
            return
        await self.wire.send({"type": "websocket.accept"})
        self._close_at_the_end(until)
        await self._tell_all()
        while (event := await receive())["type"] != "websocket.disconnect":
            await self._hear(event.get("text"))

    async def leave(self) -> None:
        if self.over is not None:
            self.over.cancel()
        await hub.here().leave(self.wire)

    def _close_at_the_end(self, until: datetime | None) -> None:
        """A pass ends at an instant that is known now: the socket goes with it, whoever is listening."""
        if until is not None:
            wait = (until - timezone.now()).total_seconds()
            self.over = asyncio.get_running_loop().call_later(max(0.0, wait), self.wire.close, GONE)

    # --- what the server says ---

    async def _tell_all(self) -> None:
        """How things stand; what changes meanwhile is said after it."""
        with self.wire.holding():
            await self._say(await _snapshot(self.caller.session_id))

    async def _say(self, message: dict[str, Any]) -> None:
        await self.wire.say(hub.plain(message))

    # --- what the phone says ---

    async def _hear(self, text: str | None) -> None:
        t1 = messages.now_ms()
        try:
            heard = messages.read(text)
        except BadMessageError as error:
            await self._say(messages.error(str(error)))
            return
        if isinstance(heard, Ping):
            await self._pong(heard, t1)
        elif isinstance(heard, Tap):
            await self._command(heard)
        elif await self._still_there():
            await self._tell_all()

    async def _pong(self, ping: Ping, t1: float) -> None:
        """The clock for the phone, and the version for one that missed a hint."""
        now = asyncio.get_running_loop().time()
        if now - self.asked_at > ASKED_AGAIN_S and not await self._still_there():
            return
        assert self.room is not None
        version = await self.room.version_for(self.wire.adult)
        await self._say(messages.pong(ping, t1, version))

    async def _command(self, tap: Tap) -> None:
        with self.wire.holding():  # first the answer, then what it changed
            answer = await _obeyed(self.caller, tap, f"socket {id(self.wire):x}"[-16:])
            if answer is None:
                await self._turn_away()
            else:
                await self._say(answer)

    async def _still_there(self) -> bool:
        """Ask for the rights again: a socket outlives a sign-out and a lost role."""
        self.asked_at = asyncio.get_running_loop().time()
        if await _found(self.caller) is not None:
            return True
        await self._turn_away()
        return False

    async def _turn_away(self) -> None:
        self.wire.close(SIGNED_OUT if await _signed_out(self.caller) else GONE)


@in_database
def _entering(caller: Caller) -> tuple[UUID, datetime | None] | None:
    """Who comes and until when; both may ask the database, so neither is left to the event loop."""
    watcher = caller.find()
    return (watcher.id, watcher.until) if watcher else None


@in_database
def _found(caller: Caller) -> Watcher | None:
    return caller.find()


@in_database
def _signed_out(caller: Caller) -> bool:
    return caller.is_signed_out()


@in_database
def _looked(session_id: UUID, heard: dict[UUID, float]) -> int:
    """Note which phones were there; the version of everything they might have missed."""
    presence.note_all(session_id, heard)
    return version_of(session_id)


@in_database
def _snapshot(session_id: UUID) -> dict[str, Any]:
    version = version_of(session_id)
    return messages.bell(messages.plain_state(played.state_of(session_id)), version)


@in_database
def _obeyed(caller: Caller, tap: Tap, device: str) -> dict[str, Any] | None:
    """What the phone that tapped is told; all phones hear of the bell by themselves. None: it may not say anything."""
    watcher = caller.find()
    if watcher is None:
        return None
    try:
        answer = actions.give_command(order=Order(watcher, tap, device))
    except RefusedError as error:
        return messages.answer(tap.op_id, accepted=False, words=str(error), seq=0)
    words = sentences.why(answer.why)
    return messages.answer(tap.op_id, accepted=answer.accepted, words=words, seq=answer.seq)
