"""A server that is asked for too much: so many at work, the others in order, nobody who has gone."""

from __future__ import annotations

import asyncio
from collections.abc import MutableMapping
from typing import Any

from clubapp.core.turnstile import AGAIN_S, Turnstile

Message = MutableMapping[str, Any]


class Work:
    """An application whose requests end when they are told to."""

    def __init__(self) -> None:
        self.begun: list[str] = []
        self.at_work = self.most = 0
        self.bodies: dict[str, bytes] = {}
        self.ends: dict[str, asyncio.Event] = {}

    async def __call__(self, scope: Message, receive: Any, send: Any) -> None:
        name = scope["path"]
        self.begun.append(name)
        self.at_work += 1
        self.most = max(self.most, self.at_work)
        body, more = b"", True
        while more:
            message = await receive()
            body, more = body + message["body"], message.get("more_body", False)
        self.bodies[name] = body
        listening = asyncio.ensure_future(receive())
        await self.ends.setdefault(name, asyncio.Event()).wait()
        assert not listening.done()  # never told that the caller hung up
        listening.cancel()
        self.at_work -= 1
        await send({"type": "http.response.start", "status": 200, "headers": []})

    def end(self, name: str) -> None:
        self.ends.setdefault(name, asyncio.Event()).set()


class Phone:
    """One request. answer: the messages that came back."""

    def __init__(self, door: Turnstile, name: str, *, parts: tuple[bytes, ...] = (b"",)) -> None:
        self.says: asyncio.Queue[Message] = asyncio.Queue()
        self.answer: list[Message] = []
        for at, part in enumerate(parts):
            self.says.put_nowait({"type": "http.request", "body": part, "more_body": at < len(parts) - 1})
        self.task = asyncio.ensure_future(door({"type": "http", "path": name}, self.says.get, self.hear))

    async def hear(self, message: Message) -> None:
        self.answer.append(message)

    def hang_up(self) -> None:
        self.says.put_nowait({"type": "http.disconnect"})

    @property
    def status(self) -> int | None:
        return self.answer[0]["status"] if self.answer else None


async def settle() -> None:
    """Everything that can go on has gone on."""
    for _ in range(20):
        await asyncio.sleep(0)


async def test_so_many_are_at_work_and_the_others_follow_in_order() -> None:
    work = Work()
    door = Turnstile(work, most=2, patience_s=60)
    phones = [Phone(door, name) for name in "abcde"]
    await settle()
    assert work.begun == ["a", "b"]
    for name in "abcde":
        work.end(name)
        await settle()
    await asyncio.gather(*(phone.task for phone in phones))
    assert work.begun == ["a", "b", "c", "d", "e"]
    assert work.most == 2
    assert [phone.status for phone in phones] == [200] * 5


async def test_whoever_waits_too_long_is_told_to_come_again_and_never_let_in() -> None:
    work = Work()
    door = Turnstile(work, most=1, patience_s=0.01)
    first, second = Phone(door, "a"), Phone(door, "b")
    await second.task
    assert second.status == 503
    assert (b"retry-after", str(AGAIN_S).encode()) in second.answer[0]["headers"]
    assert second.answer[1]["body"]
    work.end("a")
    await first.task
    assert work.begun == ["a"]
    third = Phone(door, "c")
    work.end("c")
    await third.task  # the place that nobody took is still there
    assert third.status == 200


async def test_whoever_hangs_up_while_waiting_is_not_let_in() -> None:
    work = Work()
    door = Turnstile(work, most=1, patience_s=60)
    first, second, third = Phone(door, "a"), Phone(door, "b"), Phone(door, "c")
    await settle()
    second.hang_up()
    await second.task
    assert second.answer == []
    work.end("a")
    work.end("c")
    await asyncio.gather(first.task, third.task)
    assert work.begun == ["a", "c"]


async def test_hanging_up_while_at_work_gives_no_place_away_before_the_work_is_done() -> None:
    work = Work()
    door = Turnstile(work, most=1, patience_s=60)
    first, second = Phone(door, "a"), Phone(door, "b")
    await settle()
    first.hang_up()
    await settle()
    assert work.begun == ["a"]
    work.end("a")
    await first.task
    work.end("b")
    await second.task
    assert work.begun == ["a", "b"]


async def test_a_long_body_arrives_whole() -> None:
    work = Work()
    door = Turnstile(work, most=1, patience_s=60)
    phone = Phone(door, "a", parts=(b"one ", b"two ", b"three"))
    work.end("a")
    await phone.task
    assert work.bodies == {"a": b"one two three"}


async def test_a_caller_who_is_gone_at_once_and_other_protocols() -> None:
    work = Work()
    door = Turnstile(work, most=1, patience_s=60)
    gone = Phone(door, "a", parts=())
    gone.hang_up()
    await gone.task
    assert (gone.answer, work.begun) == ([], [])
    asked: list[str] = []

    async def app(scope: Message, receive: Any, send: Any) -> None:
        asked.append(scope["type"])

    await Turnstile(app, most=0)({"type": "lifespan"}, None, None)  # type: ignore[arg-type]
    assert asked == ["lifespan"]
