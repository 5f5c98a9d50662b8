"""A phone that speaks as our pages do: every tap written down first, sent in order until it is taken, told by hints."""

from __future__ import annotations

import asyncio
import json
import random
import re
import time
import uuid
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any
from urllib.parse import urlencode

from django.conf import settings

from clubapp.desk.bench import herd
from clubapp.engine.clock_state import Sample, offset

TOKEN = "c" * 32  # a form's and a cookie's token need only be the same
ROW = re.compile(r'id="mark-([0-9a-f-]{36})" data-kind="(\w+)"')
VERSION = re.compile(r'data-version="(\d+)"')
KINDS = ("here", "late", "absent", "cleared")
PATIENCE_S, BEAT_S, THINK_S, LOOK_S = 12.0, 1.0, 0.1, 1.0
BURST = 8
WRONG_MS = 300_000  # so far a phone's own clock may be off


@dataclass
class Phone:
    """home: host and port of the bad network. stage: what the data folder was filled with."""

    number: int
    home: str
    stage: dict[str, Any]
    lot: random.Random
    queue: list[dict[str, Any]] = field(default_factory=list)
    made: list[str] = field(default_factory=list)
    refused: list[int] = field(default_factory=list)
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

    def tap(self) -> None:
        child, kind = self.lot.choice(self.stage["children"]), self.lot.choice(KINDS)
        op_id = str(uuid.UUID(int=self.lot.getrandbits(128), version=4))
        at = datetime.fromtimestamp((self.now() + self._offset()) / 1000, UTC).isoformat()
        body = {"op_id": op_id, "device": self.device, "tapped_at": at, "base_version": max(0, self.version)}
        if kind != "cleared":
            body["kind"] = kind
        self.queue.append({"url": "undo" if kind == "cleared" else "mark", "body": body | {"athlete": child}})
        self.made.append(op_id)

    async def send_all(self) -> None:
        """Until cancelled: the first in the queue until the club has it, then the next."""
        failures = 0
        while True:
            if not self.queue:
                await asyncio.sleep(THINK_S)
                continue
            op = self.queue[0]
            status, _text = await self._request("POST", f"/register/{self.stage['session']}/{op['url']}/", op["body"])
            if status == 0 or status >= 500:
                failures = min(failures + 1, 4)
                await asyncio.sleep(self.lot.uniform(0.05, 0.1 * 2**failures))
                continue
            failures = 0
            if status != 200:
                self.refused.append(status)
            self.queue.pop(0)

    async def _request(self, method: str, path: str, fields: dict[str, Any] | None = None) -> tuple[int, str]:
        """Status and text; 0 where nothing came back."""
        body = urlencode(fields or {}).encode() if method == "POST" else b""
        cookies = f"{settings.SESSION_COOKIE_NAME}={self.me['key']}; {settings.CSRF_COOKIE_NAME}={TOKEN}"
        headers = {"Host": self.home, "Cookie": cookies, "Content-Length": len(body), "X-CSRFToken": TOKEN}
        headers |= {"X-Outbox-Owner": self.me["owner"], "X-Device": self.device}
        headers |= {"Accept": "application/json" if body else "text/html", "Connection": "close"}
        headers |= {"Content-Type": "application/x-www-form-urlencoded"} if body else {}
        lines = [f"{method} {path} HTTP/1.1", *(f"{name}: {value}" for name, value in headers.items()), "", ""]
        try:
            async with asyncio.timeout(PATIENCE_S):
                reader, writer = await asyncio.open_connection(*self.home.split(":"))
                try:
                    writer.write("\r\n".join(lines).encode() + body)
                    head, _mark, text = (await reader.read()).partition(b"\r\n\r\n")
                finally:
                    writer.close()
            return int(head.split(b" ", 2)[1]), text.decode(errors="replace")
        except (OSError, TimeoutError, ValueError, IndexError):
            return 0, ""

    # --- what it shows ---

    async def look(self) -> None:
        """Until cancelled: the register anew whenever something newer was heard of."""
        while True:
            if self.known > self.version:
                status, text = await self._request("GET", f"/register/{self.stage['session']}/")
                if status == 200 and (found := VERSION.search(text)):
                    self.version, self.kinds = int(found[1]), dict(ROW.findall(text))
            await asyncio.sleep(LOOK_S)

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
            self.samples.clear()
            await asyncio.sleep(self.lot.uniform(0.1, 1.0))

    async def _beat(self, link: herd.Phone) -> None:
        """Ask for the clock; a line that says nothing for four beats is dead."""
        self.heard_at = time.monotonic()
        try:
            while not link.transport.is_closing() and time.monotonic() - self.heard_at < 4 * BEAT_S:
                for _ping in range(1 if len(self.samples) >= BURST else BURST):
                    link.send(json.dumps({"type": "ping", "t0": self.now()}).encode())
                await asyncio.sleep(BEAT_S)
        finally:
            link.transport.abort()

    def _heard(self, message: bytes) -> None:
        told, self.heard_at = json.loads(message), time.monotonic()
        self.known = max(self.known, told.get("version", 0))
        if told["type"] == "pong":
            self.samples = [*self.samples, Sample(told["t0"], told["t1"], told["t2"], self.now())][-BURST:]
            if len(self.samples) == BURST:
                self.errors.append(abs(self.now() + self._offset() - time.time() * 1000))
        elif told["type"] == "answer" and told["accepted"]:
            self.confirmed.append(told["op_id"])

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
