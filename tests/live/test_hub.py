"""One subscription a room and process: who comes, who leaves, who is slow, and what a lost hint costs."""

from __future__ import annotations

import asyncio
import json
import time
from typing import Any
from uuid import UUID, uuid4

import pytest
from channels.layers import InMemoryChannelLayer

from clubapp.core.tell import PEOPLE, session_group
from clubapp.live import hub, wire
from clubapp.live.hub import Hub
from clubapp.live.wire import Wire


class Counting(InMemoryChannelLayer):  # type: ignore[misc]
    """Counts who listens, and can be slow to take somebody on, or away."""

    def __init__(self) -> None:
        super().__init__()
        self.added: list[str] = []
        self.door = asyncio.Event()
        self.door.set()
        self.away = False

    async def group_add(self, group: str, channel: str) -> None:
        await self.door.wait()
        if self.away:
            raise ConnectionError("no broker")
        self.added.append(group)
        await super().group_add(group, channel)


class Out:
    """A phone's end: what reached it. Blocked, it takes nothing."""

    def __init__(self) -> None:
        self.came: list[dict[str, Any]] = []
        self.takes = asyncio.Event()
        self.takes.set()

    async def __call__(self, message: dict[str, Any]) -> None:
        await self.takes.wait()
        self.came.append(message)

    @property
    def texts(self) -> list[Any]:
        return [json.loads(message["text"])["version"] for message in self.came if "text" in message]

    @property
    def codes(self) -> list[int]:
        return [message["code"] for message in self.came if "code" in message]


async def looked(session_id: UUID, heard: dict[UUID, float]) -> int:
    return 0


@pytest.fixture
async def layer() -> Counting:
    return Counting()


def phone(adult: UUID | None = None) -> tuple[Out, Wire]:
    out = Out()
    line = Wire(out, adult or uuid4())
    line.owner = None
    line.held = None
    return out, line


async def told(layer: Counting, session_id: UUID, version: int) -> None:
    await layer.group_send(session_group(session_id), {"type": "hint", "what": "register", "version": version})
    await settle()


async def settle() -> None:
    for _turn in range(20):
        await asyncio.sleep(0)


async def test_a_hundred_phones_are_one_subscription_a_room(layer: Counting) -> None:
    centre, room = Hub(layer), uuid4()
    phones = [phone() for _ in range(100)]
    await asyncio.gather(*(centre.join(room, line, looked) for _out, line in phones))
    assert sorted(layer.added) == sorted([PEOPLE, session_group(room)])
    await told(layer, room, 4)
    assert all(out.texts == [4] for out, _line in phones)


async def test_whoever_comes_while_the_room_opens_hears_all(layer: Counting) -> None:
    centre, room = Hub(layer), uuid4()
    layer.door.clear()
    (first, one), (second, other) = phone(), phone()
    joining = [asyncio.ensure_future(centre.join(room, line, looked)) for line in (one, other)]
    await settle()
    joining[0].cancel()  # the first one hangs up meanwhile
    await settle()
    await centre.leave(one)
    layer.door.set()
    await joining[1]
    await told(layer, room, 1)
    assert (first.texts, second.texts) == ([], [1])


async def test_the_last_to_leave_closes_and_a_newcomer_has_a_room_of_its_own(layer: Counting) -> None:
    centre, room = Hub(layer), uuid4()
    (_out, one), (second, other) = phone(), phone()
    await centre.join(room, one, looked)
    leaving = asyncio.ensure_future(centre.leave(one))
    joining = asyncio.ensure_future(centre.join(room, other, looked))
    await asyncio.gather(leaving, joining)
    await told(layer, room, 2)
    assert second.texts == [2]
    await centre.leave(other)
    assert centre.rooms == {}
    assert not any(layer.groups.values())


async def test_a_phone_that_does_not_read_holds_up_nobody(layer: Counting, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(wire, "SLOW_S", 0.05)
    centre, room = Hub(layer), uuid4()
    (asleep, one), (awake, other) = phone(), phone()
    for line in (one, other):
        await centre.join(room, line, looked)
    ended: asyncio.Future[None] = asyncio.get_running_loop().create_future()
    one.owner = asyncio.ensure_future(asyncio.wait_for(ended, 10))  # type: ignore[arg-type]
    asleep.takes.clear()
    for version in (1, 2, 3):
        await told(layer, room, version)
    assert awake.texts == [1, 2, 3]
    with pytest.raises(asyncio.CancelledError):
        await one.owner
    assert (one.ending, asleep.came) == (True, [])


async def test_a_phone_that_was_slow_is_told_to_come_again_for_what_it_missed(layer: Counting) -> None:
    centre, room = Hub(layer), uuid4()
    out, line = phone()
    await centre.join(room, line, looked)
    out.takes.clear()
    for version in (1, 2):
        await told(layer, room, version)
    out.takes.set()
    await settle()
    assert (out.texts, out.codes) == ([1], [wire.BUSY])


async def test_a_phone_that_was_slow_and_missed_nothing_stays(layer: Counting) -> None:
    centre, room = Hub(layer), uuid4()
    out, line = phone()
    await centre.join(room, line, looked)
    out.takes.clear()
    await told(layer, room, 1)
    out.takes.set()
    await settle()
    await told(layer, room, 2)
    assert (out.texts, out.codes) == ([1, 2], [])


async def test_what_is_said_while_a_phone_is_being_told_follows_in_order(layer: Counting) -> None:
    centre, room = Hub(layer), uuid4()
    out, line = phone()
    await centre.join(room, line, looked)
    with line.holding():
        await told(layer, room, 8)
        await line.say(json.dumps({"version": 7}))
    assert out.texts == [7, 8]


async def test_a_frame_is_made_once_and_goes_past_the_ordinary_way(layer: Counting) -> None:
    centre, room = Hub(layer), uuid4()
    taken: list[bytes] = []
    lines = [phone() for _ in range(3)]
    for _out, line in lines:
        line.take = lambda frame: taken.append(frame) is None
        await centre.join(room, line, looked)
    await told(layer, room, 6)
    assert len(taken) == 3
    assert len({id(frame) for frame in taken}) == 1
    assert json.loads(taken[0][2:])["version"] == 6
    assert [out.came for out, _line in lines] == [[], [], []]


async def test_a_phone_that_takes_no_frame_is_told_the_ordinary_way(layer: Counting) -> None:
    centre, room = Hub(layer), uuid4()
    out, line = phone()
    line.take = lambda frame: False
    await centre.join(room, line, looked)
    await told(layer, room, 6)
    await line.say(json.dumps({"version": 7}))
    assert out.texts == [6, 7]


async def test_a_person_is_closed_everywhere_and_nobody_else(layer: Counting) -> None:
    centre, adult = Hub(layer), uuid4()
    phones = [phone(adult), phone(adult), phone()]
    for _out, line in phones:
        await centre.join(uuid4(), line, looked)
    await layer.group_send(PEOPLE, {"type": "closed", "user": str(adult), "code": 4001})
    await settle()
    assert [out.codes for out, _line in phones] == [[4001], [4001], []]


async def test_nothing_is_said_after_a_farewell(layer: Counting) -> None:
    centre, room = Hub(layer), uuid4()
    out, line = phone()
    await centre.join(room, line, looked)
    line.close(4001)
    await told(layer, room, 3)
    assert (out.texts, out.codes) == ([], [4001])


async def test_a_layer_that_is_away_is_asked_again_by_the_next_phone(layer: Counting) -> None:
    centre, room = Hub(layer), uuid4()
    (_out, one), (second, other) = phone(), phone()
    layer.away = True
    with pytest.raises(ConnectionError):
        await centre.join(room, one, looked)
    await centre.leave(one)
    layer.away = False
    await centre.join(room, other, looked)
    await told(layer, room, 3)
    assert second.texts == [3]


async def test_a_layer_that_is_lost_sends_its_phones_back_for_the_state(
    layer: Counting, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def lost(channel: str) -> dict[str, Any]:
        raise ConnectionError("broker gone")

    centre, room = Hub(layer), uuid4()
    out, line = phone()
    monkeypatch.setattr(layer, "receive", lost)
    await centre.join(room, line, looked)
    await settle()
    assert (out.codes, centre.rooms) == ([wire.RESTARTED], {})


async def test_each_event_loop_has_a_hub_of_its_own() -> None:
    assert hub.here() is hub.here()

    async def elsewhere() -> Hub:
        return hub.here()

    other = await asyncio.to_thread(asyncio.run, elsewhere())
    assert other is not hub.here()


# --- the version a pong tells ----------------------------------------------------------------------------------------


class Book:
    """What the database would say, and how often it was asked."""

    def __init__(self) -> None:
        self.version, self.asked = 1, 0
        self.heard: dict[UUID, float] = {}

    async def look(self, session_id: UUID, heard: dict[UUID, float]) -> int:
        self.asked += 1
        self.heard |= heard
        await asyncio.sleep(0)
        return self.version


async def test_a_thousand_pings_ask_the_database_once(layer: Counting) -> None:
    centre, book, adults = Hub(layer), Book(), [uuid4() for _ in range(1000)]
    _out, line = phone()
    room = await centre.join(uuid4(), line, book.look)
    assert set(await asyncio.gather(*(room.version_for(adult) for adult in adults))) == {1}
    assert book.asked == 1
    await centre.leave(line)
    assert set(book.heard) == set(adults)
    assert all(abs(at - time.time()) < 60 for at in book.heard.values())


async def test_a_hint_that_was_lost_is_noticed(layer: Counting, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hub, "FRESH_S", 0.0)
    centre, book = Hub(layer), Book()
    _out, line = phone()
    room = await centre.join(uuid4(), line, book.look)
    assert await room.version_for(line.adult) == 1
    book.version = 5  # written by another process, and its hint never came
    assert await room.version_for(line.adult) == 5


async def test_a_hint_makes_the_version_known_without_asking(layer: Counting) -> None:
    centre, book, session_id = Hub(layer), Book(), uuid4()
    _out, line = phone()
    room = await centre.join(session_id, line, book.look)
    await room.version_for(line.adult)
    await told(layer, session_id, 9)
    assert (await room.version_for(line.adult), book.asked) == (9, 1)
    await centre.leave(line)
