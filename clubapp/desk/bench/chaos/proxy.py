"""A bad network: requests and socket messages are lost, late, doubled and out of order."""

from __future__ import annotations

import asyncio
import random
from asyncio import StreamReader, StreamWriter
from contextlib import suppress
from dataclasses import dataclass, field

LOST, ANSWER_LOST, LATE, DOUBLED, SWAPPED, CUT = 0.05, 0.05, 0.25, 0.05, 0.05, 0.003
LATE_S, FRAME_LATE_S, SWAP_S, ANSWER_S = 0.4, 0.05, 0.3, 10.0
CLOSE = 0x8


@dataclass
class Tally:
    """What was done to the messages."""

    lost: int = 0
    late: int = 0
    doubled: int = 0
    swapped: int = 0


@dataclass
class BadNetwork:
    """Between phones and the server on 127.0.0.1. calm: passes everything on at once."""

    port: int
    lot: random.Random
    calm: bool = False
    tally: Tally = field(default_factory=Tally)
    passed: asyncio.Event = field(default_factory=asyncio.Event)

    async def open(self) -> int:
        self.server = await asyncio.start_server(self._serve, "127.0.0.1", 0, backlog=512)
        return int(self.server.sockets[0].getsockname()[1])

    def close(self) -> None:
        self.server.close()

    def draws(self, chance: float) -> bool:
        return not self.calm and self.lot.random() < chance

    async def _serve(self, reader: StreamReader, writer: StreamWriter) -> None:
        # Cancelled at the very end, when nobody asks after it any more.
        with suppress(OSError, EOFError, TimeoutError, asyncio.LimitOverrunError, ValueError, asyncio.CancelledError):
            head = await reader.readuntil(b"\r\n\r\n")
            if b"upgrade: websocket" in head.lower():
                await self._tunnel(head, reader, writer)
            else:
                await self._request(head + await reader.readexactly(_length(head)), writer)
        writer.close()

    # --- requests ---

    async def _request(self, request: bytes, writer: StreamWriter) -> None:
        if self.draws(LOST):
            self.tally.lost += 1
            return
        if self.draws(LATE):
            self.tally.late += 1
            await asyncio.sleep(self.lot.uniform(0, LATE_S))
        if self.draws(SWAPPED):
            self.tally.swapped += 1
            self.passed.clear()
            with suppress(TimeoutError):
                async with asyncio.timeout(SWAP_S):
                    await self.passed.wait()
        if self.draws(DOUBLED):
            self.tally.doubled += 1
            await self._ask(request)
        answer = await self._ask(request)
        self.passed.set()
        if self.draws(ANSWER_LOST):
            self.tally.lost += 1
            return
        writer.write(answer)
        await writer.drain()

    async def _ask(self, request: bytes) -> bytes:
        """One connection a request: the answer ends where the server closes."""
        head, _mark, body = request.partition(b"\r\n\r\n")
        lines = [line for line in head.split(b"\r\n") if not line.lower().startswith(b"connection:")]
        reader, writer = await asyncio.open_connection("127.0.0.1", self.port)
        try:
            writer.write(b"\r\n".join([*lines, b"Connection: close"]) + b"\r\n\r\n" + body)
            async with asyncio.timeout(ANSWER_S):
                return await reader.read()
        finally:
            writer.close()

    # --- sockets ---

    async def _tunnel(self, head: bytes, reader: StreamReader, writer: StreamWriter) -> None:
        there, back = await asyncio.open_connection("127.0.0.1", self.port)
        try:
            back.write(head)
            writer.write(await there.readuntil(b"\r\n\r\n"))
            ways = [asyncio.ensure_future(self._frames(*way)) for way in ((reader, back), (there, writer))]
            await asyncio.wait(ways, return_when=asyncio.FIRST_COMPLETED)
            for way in ways:
                way.cancel()
            await asyncio.gather(*ways, return_exceptions=True)
        finally:
            back.close()

    async def _frames(self, reader: StreamReader, writer: StreamWriter) -> None:
        """One way of a socket, message by message, until one end is gone."""
        with suppress(OSError, EOFError):
            await self._pump(reader, writer)

    async def _pump(self, reader: StreamReader, writer: StreamWriter) -> None:
        held = b""
        while not self.draws(CUT):
            frame, closes = await _frame(reader)
            if self.draws(LATE):
                self.tally.late += 1
                await asyncio.sleep(self.lot.uniform(0, FRAME_LATE_S))
            if closes:
                writer.write(held + frame)
                return
            if self.draws(LOST):
                self.tally.lost += 1
            elif not held and self.draws(SWAPPED):
                self.tally.swapped += 1
                held = frame
            else:
                twice = self.draws(DOUBLED)
                self.tally.doubled += twice
                writer.write(frame * (1 + twice) + held)
                held = b""
            await writer.drain()


def _length(head: bytes) -> int:
    for line in head.split(b"\r\n"):
        name, _mark, value = line.partition(b":")
        if name.lower() == b"content-length":
            return int(value)
    return 0


async def _frame(reader: StreamReader) -> tuple[bytes, bool]:
    """A whole message of RFC 6455 as it stands, and whether it says farewell."""
    head = await reader.readexactly(2)
    size, more = head[1] & 0x7F, b""
    if size >= 126:
        more = await reader.readexactly(2 if size == 126 else 8)
        size = int.from_bytes(more, "big")
    rest = await reader.readexactly(size + (4 if head[1] & 0x80 else 0))
    return head + more + rest, head[0] & 0xF == CLOSE
