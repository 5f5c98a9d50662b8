"""Many phones on one address: how long until the last of them has heard."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable, Sequence
from contextlib import AsyncExitStack
from dataclasses import dataclass, field
from statistics import median

from websockets.asyncio.client import ClientConnection, connect

TOGETHER = 20  # sockets opened at once; all at once would measure the listen queue


@dataclass(frozen=True)
class Call:
    """Where the phones listen and what is said.

    say: shot number -> the message the first phone sends. heard: message, shot number -> whether this is its echo.
    """

    address: str
    say: Callable[[int], str]
    heard: Callable[[str, int], bool]
    headers: dict[str, str] = field(default_factory=dict)


def milliseconds_to_last(call: Call, sockets: int, shots: int) -> list[float]:
    """For each shot, the time from sending until every phone has heard."""
    return asyncio.run(_shoot(call, sockets, shots))


async def _shoot(call: Call, sockets: int, shots: int) -> list[float]:
    async with AsyncExitStack() as stack:
        herd: list[ClientConnection] = []
        while len(herd) < sockets:
            some = range(min(TOGETHER, sockets - len(herd)))
            herd += await asyncio.gather(*(stack.enter_async_context(_open(call)) for _ in some))
        return [await _one(call, herd, number) for number in range(shots)]


def _open(call: Call) -> connect:
    return connect(call.address, additional_headers=call.headers, compression=None, max_size=2**20)


async def _one(call: Call, herd: Sequence[ClientConnection], number: int) -> float:
    started = time.perf_counter()
    await herd[0].send(call.say(number))
    await asyncio.gather(*(_hear(phone, call, number) for phone in herd))
    return (time.perf_counter() - started) * 1000


async def _hear(phone: ClientConnection, call: Call, number: int) -> None:
    while not call.heard(str(await phone.recv()), number):
        pass


def figures(prefix: str, times: Sequence[float]) -> dict[str, float | int | str]:
    return {f"{prefix}median_ms": median(times), f"{prefix}worst_ms": max(times)}
