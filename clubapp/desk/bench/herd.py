"""Many phones on one address: how long until each of them has heard.

Each is the least a websocket client can be (RFC 6455, unfragmented frames from the server), so that what is measured
is the server and not the phones, which all live in one process here.
"""

from __future__ import annotations

import asyncio
import base64
import math
import os
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from statistics import median
from urllib.parse import urlsplit

TOGETHER = 20  # sockets opened at once; all at once would measure the listen queue
TEXT, PING, PONG = 0x1, 0x9, 0xA
PATIENCE_S = 60


@dataclass(frozen=True)
class Call:
    """Where the phones listen and what is said.

    say: shot number -> the message the first phone sends. heard: message, shot number -> whether this is its echo.
    addresses: of several processes that serve the same; the phones are shared out, the first one's speaks.
    said: an echo -> when the server began to tell it, in milliseconds since 1970; None where that is when it was sent.
    """

    addresses: tuple[str, ...]
    say: Callable[[int], bytes]
    heard: Callable[[bytes, int], bool]
    headers: dict[str, str] = field(default_factory=dict)
    said: Callable[[bytes], float] | None = None


@dataclass
class Shot:
    """Milliseconds until each phone had heard: since it was sent, and since the server began to tell."""

    times: list[float] = field(default_factory=list)
    told: list[float] = field(default_factory=list)


class Phone(asyncio.Protocol):
    """One socket. took(message): told of each text that comes."""

    def __init__(self, call: Call, address: str) -> None:
        loop = asyncio.get_running_loop()
        self.call, self.address, self.buffer = call, address, b""
        self.open: asyncio.Future[None] = loop.create_future()
        self.is_open = False
        self.took: Callable[[bytes], None] = lambda message: None
        self.first: asyncio.Future[None] = loop.create_future()

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        assert isinstance(transport, asyncio.Transport)
        self.transport = transport
        parts = urlsplit(self.address)
        key = base64.b64encode(os.urandom(16)).decode()
        headers = {"Host": parts.netloc, "Upgrade": "websocket", "Connection": "Upgrade", "Sec-WebSocket-Version": "13"}
        headers |= {"Sec-WebSocket-Key": key, "Origin": f"http://{parts.netloc}"} | self.call.headers
        lines = [f"GET {parts.path} HTTP/1.1", *(f"{name}: {value}" for name, value in headers.items()), "", ""]
        transport.write("\r\n".join(lines).encode())

    def data_received(self, data: bytes) -> None:
        self.buffer += data
        if not self.is_open:
            head, mark, rest = self.buffer.partition(b"\r\n\r\n")
            if not mark:
                return
            self.buffer, self.is_open = rest, True
            if not head.startswith(b"HTTP/1.1 101"):
                self.open.set_exception(ConnectionError(head.decode("latin1")))
                return
            self.open.set_result(None)
        self._frames()

    def _frames(self) -> None:
        while len(self.buffer) >= 2:
            kind, size, start = self.buffer[0] & 0xF, self.buffer[1], 2
            if size >= 126:
                start = 4 if size == 126 else 10
                size = int.from_bytes(self.buffer[2:start], "big")
            if len(self.buffer) < start + size:
                return
            message, self.buffer = self.buffer[start : start + size], self.buffer[start + size :]
            if kind == TEXT:
                self.took(message)
                if not self.first.done():
                    self.first.set_result(None)
            elif kind == PING:
                self.send(message, PONG)

    def connection_lost(self, exc: Exception | None) -> None:
        if not self.open.done():
            self.open.set_exception(ConnectionError("closed at the door"))

    def send(self, message: bytes, kind: int = TEXT) -> None:
        """Masked with zeros, which the standard allows to be any four bytes."""
        size = len(message)
        head = bytes([0x80 | kind, 0x80 | size]) if size < 126 else bytes([0x80 | kind, 0xFE]) + size.to_bytes(2, "big")
        self.transport.write(head + bytes(4) + message)


async def gathered(call: Call, sockets: int) -> list[Phone]:
    """So many phones, connected and let on."""
    herd: list[Phone] = []
    while len(herd) < sockets:
        some = range(len(herd), min(len(herd) + TOGETHER, sockets))
        herd += await asyncio.gather(*(opened(call, number) for number in some))
    return herd


async def opened(call: Call, number: int) -> Phone:
    address = call.addresses[number % len(call.addresses)]
    parts = urlsplit(address)
    loop = asyncio.get_running_loop()
    _transport, phone = await loop.create_connection(
        lambda: Phone(call, address), str(parts.hostname), int(parts.port or 80)
    )
    async with asyncio.timeout(PATIENCE_S):
        await phone.open
    return phone


async def shot(call: Call, herd: Sequence[Phone], number: int) -> Shot:
    """The first phone says it, all hear it."""
    done, came = Shot(), list[tuple[float, bytes]]()
    everybody: asyncio.Future[None] = asyncio.get_running_loop().create_future()

    def ear(phone: Phone) -> Callable[[bytes], None]:
        def took(message: bytes) -> None:
            if call.heard(message, number):
                done.times.append((time.perf_counter() - started) * 1000)
                came.append((time.time() * 1000, message))  # read when all have heard: the others' wait is not for us
                phone.took = lambda message: None
                if len(done.times) == len(herd):
                    everybody.set_result(None)

        return took

    for phone in herd:
        phone.took = ear(phone)
    started = time.perf_counter()
    herd[0].send(call.say(number))
    await asyncio.wait_for(everybody, PATIENCE_S)
    done.told += [at - call.said(message) for at, message in came if call.said is not None]
    return done


def leave(herd: Sequence[Phone]) -> None:
    for phone in herd:
        phone.transport.abort()


def milliseconds_to_last(call: Call, sockets: int, shots: int) -> list[float]:
    """For each shot, the time from sending until every phone has heard."""

    async def shoot() -> list[float]:
        herd = await gathered(call, sockets)
        try:
            return [max((await shot(call, herd, number)).times) for number in range(shots)]
        finally:
            leave(herd)

    return asyncio.run(shoot())


def figures(prefix: str, times: Sequence[float]) -> dict[str, float | int | str]:
    return {f"{prefix}median_ms": median(times), f"{prefix}worst_ms": max(times)}


def p95(times: Sequence[float]) -> float:
    """Nineteen of twenty took no longer."""
    return sorted(times)[math.ceil(0.95 * len(times)) - 1]
