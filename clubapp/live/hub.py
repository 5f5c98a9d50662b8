"""One subscription to the channel layer for a room and process; what it brings is encoded once for all phones here.

A group of the channel layer copies, queues and encodes for each phone by itself, which at a thousand phones takes
longer than the sending. Here the process listens once a room and says the same text to every socket it holds.
"""

from __future__ import annotations

import asyncio
import json
import logging
import time
from collections.abc import Awaitable, Callable
from contextlib import suppress
from typing import Any
from uuid import UUID
from weakref import WeakKeyDictionary

from channels.layers import get_channel_layer

from clubapp.core.tell import PEOPLE, session_group
from clubapp.live import messages
from clubapp.live.wire import RESTARTED, Wire, Words

log = logging.getLogger(__name__)

RENEWED_S = 3600  # a layer forgets who listens after a day
FRESH_S = 1.0  # so old a version may be that a pong tells: a hint that was lost is noticed no later
LEFT_S = 2.0  # so long a layer that is away may take to hear that nobody listens any more

# session, when each adult was heard last -> the session's version now
Look = Callable[[UUID, dict[UUID, float]], Awaitable[int]]


class Room:
    """The sockets of this process that listen to one group."""

    def __init__(self, layer: Any, group: str) -> None:
        self.layer, self.group = layer, group
        self.wires: set[Wire] = set()
        self.channel = ""
        self.opening: asyncio.Task[None] | None = None
        self.reading: asyncio.Task[None] | None = None
        self.lost: Callable[[], None] = lambda: None

    async def open(self) -> None:
        """Listen; the first socket that comes starts it and all wait for it."""
        self.channel = await self.layer.new_channel()
        await self.layer.group_add(self.group, self.channel)
        self.reading = asyncio.ensure_future(self._read())

    async def close(self) -> None:
        """Nobody is left here."""
        for task in (self.opening, self.reading):
            if task is not None:
                task.cancel()
        if self.channel:
            with suppress(Exception):  # a broker that is away forgets us by itself
                async with asyncio.timeout(LEFT_S):
                    await self.layer.group_discard(self.group, self.channel)

    async def _read(self) -> None:
        try:
            while True:
                try:
                    async with asyncio.timeout(RENEWED_S):
                        event = await self.layer.receive(self.channel)
                except TimeoutError:
                    await self.layer.group_add(self.group, self.channel)
                else:
                    self.spread(event)
        except Exception:
            # What was said meanwhile is unknown: the phones come again and are told how things stand.
            log.warning("channel layer lost: %d phones are to come again", len(self.wires), exc_info=True)
            self.lost()
            for wire in list(self.wires):
                wire.close(RESTARTED)

    def spread(self, event: dict[str, Any]) -> None:
        """Say to everybody here what the layer brought."""
        if event["type"] == "closed":
            for wire in [wire for wire in self.wires if str(wire.adult) == event["user"]]:
                wire.close(event["code"])
            return
        words = Words(encoded(event))
        for wire in list(self.wires):
            wire.put(words)


class Watched(Room):
    """A session's room. Knows the version all phones could know, so that a thousand pings ask the database once."""

    def __init__(self, layer: Any, session_id: UUID, look: Look) -> None:
        super().__init__(layer, session_group(session_id))
        self.session_id, self.look = session_id, look
        self.version, self.seen_at = 0, float("-inf")
        self.heard: dict[UUID, float] = {}
        self.looking: asyncio.Task[None] | None = None
        self.later: asyncio.TimerHandle | None = None

    def spread(self, event: dict[str, Any]) -> None:
        self.version = max(self.version, event.get("version", 0))
        super().spread(event)

    async def version_for(self, adult: UUID) -> int:
        """Note that this adult's phone spoke; the version, at most a second old whoever wrote."""
        self.heard[adult] = time.time()
        loop = asyncio.get_running_loop()
        if loop.time() - self.seen_at > FRESH_S:
            await asyncio.shield(self._look())
        elif self.later is None:
            self.later = loop.call_later(FRESH_S, self._look)
        return self.version

    def _look(self) -> asyncio.Task[None]:
        if self.later is not None:
            self.later.cancel()
            self.later = None
        if self.looking is None or self.looking.done():
            self.looking = asyncio.ensure_future(self._look_once())
            self.looking.add_done_callback(_heeded)
        return self.looking

    async def _look_once(self) -> None:
        heard, self.heard = self.heard, {}
        began = asyncio.get_running_loop().time()
        self.version = max(self.version, await self.look(self.session_id, heard))
        self.seen_at = began  # what was written while we looked may not have been seen

    async def close(self) -> None:
        if self.later is not None:
            self._look()
        if self.looking is not None:
            await asyncio.wait([self.looking])
        await super().close()


class Hub:
    """The rooms of one event loop."""

    def __init__(self, layer: Any) -> None:
        self.layer = layer
        self.rooms: dict[str, Room] = {}

    async def join(self, session_id: UUID, wire: Wire, look: Look) -> Watched:
        """Hear from now on what is said to a session and what is said to this adult."""
        await self._enter(PEOPLE, wire, lambda: Room(self.layer, PEOPLE))
        group = session_group(session_id)
        room = await self._enter(group, wire, lambda: Watched(self.layer, session_id, look))
        assert isinstance(room, Watched)
        return room

    async def _enter(self, group: str, wire: Wire, make: Callable[[], Room]) -> Room:
        room = self.rooms.get(group)
        if room is None:
            room = self.rooms[group] = make()
            room.lost = lambda: self._forget(room)
            room.opening = asyncio.ensure_future(room.open())
            room.opening.add_done_callback(lambda opened: None if _heeded(opened) else self._forget(room))
        room.wires.add(wire)
        assert room.opening is not None
        await asyncio.shield(room.opening)
        return room

    def _forget(self, room: Room) -> None:
        """Whoever comes next opens it anew."""
        if self.rooms.get(room.group) is room:
            del self.rooms[room.group]

    async def leave(self, wire: Wire) -> None:
        """Hear nothing any more. The last one to leave a room closes it; a newcomer meanwhile has one of its own."""
        for room in [room for room in wire_rooms(self, wire) if not _others(room, wire)]:
            self._forget(room)
            await room.close()


def wire_rooms(hub: Hub, wire: Wire) -> list[Room]:
    return [room for room in hub.rooms.values() if wire in room.wires]


def _others(room: Room, wire: Wire) -> bool:
    room.wires.discard(wire)
    return bool(room.wires)


def _heeded(task: asyncio.Task[None]) -> bool:
    """Whether it went well; asking for the mistake also keeps the loop from complaining that nobody did."""
    return not task.cancelled() and task.exception() is None


def encoded(event: dict[str, Any]) -> str:
    """The bell comes whole, everything else is only named and asked for by ordinary GET."""
    if event["what"] == "bell" and "bell" in event:
        return plain(messages.bell(event["bell"], event["version"], what="bell"))
    return plain(messages.hint(event["what"], event["version"]))


def plain(message: dict[str, Any]) -> str:
    return json.dumps(message, separators=(",", ":"))


_hubs: WeakKeyDictionary[asyncio.AbstractEventLoop, Hub] = WeakKeyDictionary()


def here() -> Hub:
    """The hub of the running event loop: a layer's queues belong to one loop, and so do sockets."""
    loop, layer = asyncio.get_running_loop(), get_channel_layer()
    hub = _hubs.get(loop)
    if hub is None or hub.layer is not layer:
        hub = _hubs[loop] = Hub(layer)
    return hub
