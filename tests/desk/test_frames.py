"""The server's socket writes a frame that was made once, and says so when a phone does not take it."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest
import uvicorn
from websockets.sync.client import connect

from clubapp.desk.frames import FrameSocket
from clubapp.live.wire import FRAMES, framed

SIZES = (0, 1, 125, 126, 127, 65_535, 65_536, 200_000)


class Server(uvicorn.Server):
    """Says when it listens."""

    def __init__(self, app: Any) -> None:
        super().__init__(uvicorn.Config(app, port=0, ws=FrameSocket, lifespan="off", log_config=None))
        self.listens = threading.Event()

    async def startup(self, *given: Any, **more: Any) -> None:
        await super().startup(*given, **more)
        self.listens.set()


@contextmanager
def served(talk: Callable[[Any, Any, Any], Any]) -> Iterator[str]:
    """The address of a server that lets a phone on and talks: talk(take, receive, send)."""

    async def app(scope: Any, receive: Any, send: Any) -> None:
        await receive()
        await send({"type": "websocket.accept"})
        await talk(scope["extensions"][FRAMES]["take"], receive, send)

    server = Server(app)
    thread = threading.Thread(target=server.run)
    thread.start()
    try:
        assert server.listens.wait(30)
        yield f"ws://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}/"
    finally:
        server.should_exit = True
        thread.join()


def test_frames_of_every_size_come_whole_and_in_their_order() -> None:
    texts = ["ü" * (size // 2) + "x" * (size % 2) for size in SIZES]

    async def talk(take: Any, receive: Any, send: Any) -> None:
        for text in texts:
            while not take(framed(text)):
                await asyncio.sleep(0)
        await send({"type": "websocket.send", "text": "the ordinary way"})
        await receive()

    with served(talk) as address, connect(address, max_size=None, compression=None) as phone:
        assert [phone.recv(timeout=30) for _text in texts] == texts
        assert phone.recv(timeout=30) == "the ordinary way"


def test_a_phone_that_does_not_read_takes_no_more() -> None:
    taken: list[bool] = []
    full = threading.Event()

    async def talk(take: Any, receive: Any, send: Any) -> None:
        frame = framed("x" * 60_000)
        for _number in range(2000):
            taken.append(take(frame))
            if not taken[-1]:
                break
            await asyncio.sleep(0)
        full.set()

    with served(talk) as address, connect(address, compression=None, max_queue=1):
        assert full.wait(30)
    assert taken[0]
    assert not taken[-1]


@pytest.mark.parametrize("who", ["phone", "server"])
def test_nothing_is_written_after_a_farewell(who: str) -> None:
    told: list[bool] = []
    over = threading.Event()

    async def talk(take: Any, receive: Any, send: Any) -> None:
        if who == "server":
            await send({"type": "websocket.close", "code": 4001})
        else:
            while (await receive())["type"] != "websocket.disconnect":
                pass
        told.append(take(framed("too late")))
        over.set()

    with served(talk) as address, connect(address, compression=None) as phone:
        if who == "phone":
            phone.close()
        assert over.wait(30)
    assert told == [False]
