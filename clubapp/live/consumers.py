"""A phone's socket: the bell as data, hints for all else, commands in. Rights are asked for again at each command."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable
from typing import Any, ParamSpec, TypeVar
from uuid import UUID

from channels.db import database_sync_to_async
from channels.generic.websocket import AsyncWebsocketConsumer
from django.contrib.auth.models import AnonymousUser
from django.contrib.sessions.models import Session as SignIn
from django.utils import timezone

from clubapp.core.tell import session_group, user_group, version_of
from clubapp.live import access, actions, bridge, messages, presence, sentences
from clubapp.live.access import Watcher
from clubapp.live.actions import Order, RefusedError
from clubapp.live.messages import BadMessageError, Ping, Tap
from clubapp.live.passes import COOKIE

P = ParamSpec("P")
T = TypeVar("T")

SIGNED_OUT, GONE = 4001, 4003  # our own closing codes: do not come back
SLOW_S = 5  # a phone that takes longer to read is asleep; it asks again when it wakes
ASKED_AGAIN_S = 30  # so often a phone that only listens is asked for its rights


def in_database(call: Callable[P, T]) -> Callable[P, Awaitable[T]]:
    """Run in a thread of its own: one command that waits for its turn to write must not hold up every phone's pong."""
    wrapped: Callable[P, Awaitable[T]] = database_sync_to_async(call, thread_sensitive=False)
    return wrapped


class BellConsumer(AsyncWebsocketConsumer):  # type: ignore[misc]
    """One phone. It keeps nothing that it could not ask for again."""

    watcher: Watcher | None = None
    over: asyncio.TimerHandle | None = None
    closing: asyncio.Task[None] | None = None
    asked_at = 0.0

    # --- coming and going ---

    async def connect(self) -> None:
        """Find the session through the person, or turn the phone away before it is let on."""
        self.watcher = await self._find()
        if self.watcher is None:
            await self.close(GONE)
            return
        for group in self._rooms(self.watcher):
            await self.channel_layer.group_add(group, self.channel_name)
        await self.accept()
        self._close_at_the_end(self.watcher)
        await self._tell_all()

    async def disconnect(self, code: int) -> None:
        if self.over is not None:
            self.over.cancel()
        if self.watcher is not None:
            for group in self._rooms(self.watcher):
                await self.channel_layer.group_discard(group, self.channel_name)

    @staticmethod
    def _rooms(watcher: Watcher) -> tuple[str, str]:
        return session_group(watcher.session.pk), user_group(watcher.id)

    def _close_at_the_end(self, watcher: Watcher) -> None:
        """A pass ends at an instant that is known now: the socket goes with it, whoever is listening."""
        if watcher.until is not None:
            wait = (watcher.until - timezone.now()).total_seconds()
            self.over = asyncio.get_running_loop().call_later(max(0.0, wait), self._pass_is_over)

    def _pass_is_over(self) -> None:
        self.closing = asyncio.ensure_future(self.close(GONE))

    # --- what the server says ---

    async def hint(self, event: dict[str, Any]) -> None:
        """Something changed. The bell comes whole, everything else is only named and asked for by ordinary GET."""
        if event["what"] == "bell" and "bell" in event:
            await self._say(messages.bell(event["bell"], event["version"], what="bell"))
        else:
            await self._say(messages.hint(event["what"], event["version"]))

    async def closed(self, event: dict[str, Any]) -> None:
        """Signed out, or rights gone."""
        await self.close(event.get("code", SIGNED_OUT))

    async def _tell_all(self) -> None:
        assert self.watcher is not None
        await self._say(await _snapshot(self.watcher.session.pk))

    async def _say(self, message: dict[str, Any]) -> None:
        try:
            async with asyncio.timeout(SLOW_S):
                await self.send(text_data=json.dumps(message, separators=(",", ":")))
        except TimeoutError:
            await self.close()

    # --- what the phone says ---

    async def receive(self, text_data: str | None = None, bytes_data: bytes | None = None) -> None:
        t1 = messages.now_ms()
        try:
            heard = messages.read(text_data)
        except BadMessageError as error:
            await self._say(messages.error(str(error)))
            return
        if isinstance(heard, Ping):
            await self._pong(heard, t1)
        elif await self._may_stay():
            await (self._command(heard) if isinstance(heard, Tap) else self._tell_all())

    async def _pong(self, ping: Ping, t1: float) -> None:
        """The clock for the phone, and the version for one that missed a hint."""
        assert self.watcher is not None
        now = asyncio.get_running_loop().time()
        if now - self.asked_at > ASKED_AGAIN_S and not await self._may_stay():
            return
        version = await _spoke(self.watcher)
        await self._say(messages.pong(ping, t1, version))

    async def _command(self, tap: Tap) -> None:
        assert self.watcher is not None
        await self._say(await _given(Order(self.watcher, tap, self.channel_name[-16:])))

    async def _may_stay(self) -> bool:
        """Ask for the rights again: a socket outlives a sign-out and a lost role."""
        self.asked_at = asyncio.get_running_loop().time()
        found = await self._find()
        if found is None:
            await self.close(GONE if await self._signed_in() else SIGNED_OUT)
            return False
        self.watcher = found
        return True

    @in_database
    def _find(self) -> Watcher | None:
        user = self.scope["user"] if _is_signed_in(self.scope) else AnonymousUser()
        session_id: UUID = self.scope["url_route"]["kwargs"]["session_id"]
        return access.find(user, self.scope["cookies"].get(COOKIE, ""), session_id)

    @in_database
    def _signed_in(self) -> bool:
        return self.scope["user"].is_anonymous or _is_signed_in(self.scope)


def _is_signed_in(scope: dict[str, Any]) -> bool:
    """Whether the sign-in this socket came with still stands."""
    key = scope["session"].session_key
    return bool(key) and SignIn.objects.filter(pk=key, expire_date__gt=timezone.now()).exists()


@in_database
def _spoke(watcher: Watcher) -> int:
    """Note that this phone is there; the version of everything it might have missed."""
    presence.note_heard(watcher)
    return version_of(watcher.session.pk)


@in_database
def _snapshot(session_id: UUID) -> dict[str, Any]:
    version = version_of(session_id)
    return messages.bell(messages.plain_state(bridge.state_of(session_id)), version)


@in_database
def _given(order: Order) -> dict[str, Any]:
    """What the phone that tapped is told; all phones hear of the bell by themselves."""
    try:
        answer = actions.give_command(order=order)
    except RefusedError as error:
        return messages.answer(order.tap.op_id, accepted=False, words=str(error), seq=0)
    words = sentences.why(answer.why)
    return messages.answer(order.tap.op_id, accepted=answer.accepted, words=words, seq=answer.seq)
