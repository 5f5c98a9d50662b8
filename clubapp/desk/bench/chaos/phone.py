"""A phone that speaks as our pages do: every tap written down first, sent in order until it is taken, told by hints."""

from __future__ import annotations

import asyncio
import json
import random
import re
import time
import uuid
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from typing import Any
from urllib.parse import urlencode

from django.conf import settings

from clubapp.desk.bench import herd
from clubapp.desk.bench.chaos import writes
from clubapp.desk.bench.chaos.writes import Write
from clubapp.engine.clock_state import Sample, offset

TOKEN = "c" * 32  # a form's and a cookie's token need only be the same
ROW = re.compile(r'id="mark-([0-9a-f-]{36})" data-kind="(\w+)"')
VERSION = re.compile(r'data-version="(\d+)"')
PATIENCE_S, BEAT_S = 12.0, 1.0
LOOKS_A_SECOND = 3.0  # of all phones together: a whole register each, where a page asks only for what changed
REST = 4  # times as long as a look took: a server that has little of its machine is asked less often
BURST, GAP_S = 8, 0.1
STALL_MS, AGEING = 150.0, 0.0002
WRONG_MS = 300_000  # so far a phone's own clock may be off


@dataclass
class Phone:
    """home: host and port of the bad network. stage: what the data folder was filled with."""

    number: int
    home: str
    stage: dict[str, Any]
    lot: random.Random
    queue: list[Write] = field(default_factory=list)
    made: list[str] = field(default_factory=list)
    kinds_made: Counter[str] = field(default_factory=Counter)
    refused: list[str] = field(default_factory=list)
    has_work: asyncio.Event = field(default_factory=asyncio.Event)
    has_news: asyncio.Event = field(default_factory=asyncio.Event)
    confirmed: list[str] = field(default_factory=list)
    errors: list[float] = field(default_factory=list)
    samples: list[Sample] = field(default_factory=list)
    kinds: dict[str, str] = field(default_factory=dict)
    version: int = -1  # of the register this phone shows
    known: int = 0  # the newest it has heard of
    link: herd.Phone | None = None

    def __post_init__(self) -> None:
        self.wrong = self.lot.uniform(-WRONG_MS, WRONG_MS)
        self.me = self.stage["phones"][self.number]
        self.device = str(uuid.UUID(int=self.lot.getrandbits(128), version=4))

    def now(self) -> float:
        """This phone's own clock."""
        return time.time() * 1000 + self.wrong

    # --- taps ---

    def write(self) -> None:
        """Anything that a phone keeps until the club has it."""
        op_id = str(uuid.UUID(int=self.lot.getrandbits(128), version=4))
        at = datetime.fromtimestamp((self.now() + self._offset()) / 1000, UTC).isoformat()
        own = {"op_id": op_id, "device": self.device, "tapped_at": at, "base_version": max(0, self.version)}
        write = writes.drawn(self.stage, op_id, self.lot)
        self.queue.append(replace(write, fields=own | write.fields))
        self.made.append(op_id)
        self.kinds_made[write.kind] += 1
        self.has_work.set()

    async def send_all(self) -> None:
        """Until cancelled: the first in the queue until the club has it, then the next."""
        failures = 0
        while True:
            while not self.queue:
                self.has_work.clear()
                await self.has_work.wait()
            op = self.queue[0]
            status, text = await self._request(op.path, op)
            if status in (0, 408, 425, 429) or status >= 500:
                failures = min(failures + 1, 4)
                await asyncio.sleep(self.lot.uniform(0.05, 0.1 * 2**failures))
                continue
            failures = 0
            if status != 200:
                self.refused.append(f"{op.kind} {status} {text[:200]}")
            self.queue.pop(0)

    async def _request(self, path: str, write: Write | None = None) -> tuple[int, str]:
        """Status and text of a page, or of what became of a write; 0 where nothing came back."""
        body = urlencode(write.fields).encode() if write else b""
        head = "".join(f"{name}: {value}\r\n" for name, value in self._headers(body, write).items())
        try:
            async with asyncio.timeout(PATIENCE_S):
                reader, writer = await asyncio.open_connection(*self.home.split(":"))
                try:
                    writer.write(f"{'POST' if write else 'GET'} {path} HTTP/1.1\r\n{head}\r\n".encode() + body)
                    head, _mark, text = (await reader.read()).decode(errors="replace").partition("\r\n\r\n")
                finally:
                    writer.close()
            return int(head.split(" ", 2)[1]), text
        except (OSError, TimeoutError, ValueError, IndexError):
            return 0, ""

    def _headers(self, body: bytes, write: Write | None) -> dict[str, str]:
        me = (write and write.me) or self.me
        cookies = f"{settings.SESSION_COOKIE_NAME}={me['key']}; {settings.CSRF_COOKIE_NAME}={TOKEN}"
        headers = {"Host": self.home, "Cookie": cookies, "Content-Length": str(len(body)), "X-CSRFToken": TOKEN}
        headers |= {"X-Outbox-Owner": me["owner"], "X-Device": self.device, "Connection": "close"}
        headers["Accept"] = "application/json" if write and not write.html else "text/html"
        headers |= {"HX-Request": "true"} if write and write.html else {}
        return headers | ({"Content-Type": "application/x-www-form-urlencoded"} if write else {})

    # --- what it shows ---

    async def look(self) -> None:
        """Until cancelled: the register anew whenever something newer was heard of."""
        while True:
            await self.has_news.wait()
            self.has_news.clear()
            if self.known > self.version:
                asked = time.monotonic()
                status, text = await self._request(f"/register/{self.stage['session']}/")
                took = time.monotonic() - asked
                if status == 200 and (found := VERSION.search(text)):
                    self.version, self.kinds = int(found[1]), dict(ROW.findall(text))
                await asyncio.sleep(max(len(self.stage["phones"]) / LOOKS_A_SECOND, REST * took))
                if self.known > self.version:
                    self.has_news.set()

    # --- the bell ---

    async def listen(self) -> None:
        """Until cancelled: connected, or trying to be."""
        address = f"ws://{self.home}/ws/bell/{self.stage['session']}/"
        headers = {"Cookie": f"{settings.SESSION_COOKIE_NAME}={self.me['key']}"}
        call = herd.Call((address,), say=lambda number: b"", heard=lambda message, number: False, headers=headers)
        while True:
            with suppress(OSError, TimeoutError):
                self.link = await herd.opened(call, 0)
                self.link.took = self._heard
                await self._beat(self.link)
            await asyncio.sleep(self.lot.uniform(0.1, 1.0))

    async def _beat(self, link: herd.Phone) -> None:
        """Ask for the clock, a burst first, as pages do; a line that says nothing for four beats is dead."""
        self.heard_at, asked = time.monotonic(), 0
        try:
            while not link.transport.is_closing() and time.monotonic() - self.heard_at < 4 * BEAT_S:
                link.send(json.dumps({"type": "ping", "t0": self.now()}).encode())
                asked += 1
                await asyncio.sleep(GAP_S if asked < BURST else BEAT_S)
        finally:
            link.transport.abort()

    def _heard(self, message: bytes) -> None:
        told, self.heard_at = json.loads(message), time.monotonic()
        if (version := told.get("version", 0)) > self.known:
            self.known = version
            self.has_news.set()
        if told["type"] == "pong":
            sample = Sample(told["t0"], told["t1"], told["t2"], self.now())
            if not self._stalled(sample):
                self.samples = [*self.samples, sample][-BURST:]
            if len(self.samples) == BURST:
                self.errors.append(abs(self.now() + self._offset() - time.time() * 1000))
        elif told["type"] == "answer" and told["accepted"]:
            self.confirmed.append(told["op_id"])

    def _stalled(self, sample: Sample) -> bool:
        """Answered so late that it says less than what is known, as the pages' own clock has it (live/sync.js)."""
        known = offset(self.samples)
        if known is None or len(self.samples) < BURST or sample.delay_ms / 2 <= STALL_MS:
            return False
        return sample.delay_ms / 2 > known.error_ms + (sample.t3 - self.samples[-1].t3) * AGEING

    def _offset(self) -> float:
        found = offset(self.samples)
        return found.offset_ms if found else 0.0

    def command(self) -> bool:
        """A second more, once; not queued: whether it was heard is known only if an answer comes. False: no line."""
        tap = {"type": "command", "op_id": str(uuid.uuid4()), "kind": "add", "seconds": 1, "seen": 0}
        if self.link is None or self.link.transport.is_closing():
            return False
        self.link.send(json.dumps(tap).encode())
        return True
