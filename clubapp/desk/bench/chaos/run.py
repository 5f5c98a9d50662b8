"""The whole of it: phones tap, the network misbehaves, the server dies; then it is counted what is where."""

from __future__ import annotations

import asyncio
import json
import random
import re
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Awaitable, Callable, Coroutine
from contextlib import AsyncExitStack, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from django.conf import settings

from clubapp.desk.bench import brokers, herd
from clubapp.desk.bench.chaos.pages import Page
from clubapp.desk.bench.chaos.phone import Phone
from clubapp.desk.bench.chaos.proxy import BadNetwork
from clubapp.desk.bench.rows import Row
from clubapp.desk.chromium import Browser, browsing, find_chromium
from clubapp.desk.folder import data_folder, environment

THINK_S, FULL, COMMANDS, SETTLE_S = 0.2, 3, 0.05, 120.0  # SETTLE_S: so long nothing may be taken from any phone


@dataclass(frozen=True)
class Plan:
    """pages: of the phones, so many are real pages in Chromium. kills: SIGKILLs of the server."""

    phones: int = 40
    operations: int = 3000
    kills: int = 10
    pages: int = 2
    seed: int = 1


BROKEN = re.compile(r" 500 \d+ ms")  # the status and not the time it took
SHORT = Plan(phones=6, operations=200, kills=2)


def row(plan: Plan) -> Row:
    figures = asyncio.run(Chaos(plan).run())
    return Row("chaos", "nothing lost, nothing twice, the register equal everywhere", figures)


@dataclass
class Club:
    """A data folder and `manage.py serve` over it."""

    data: Path
    port: int
    process: subprocess.Popen[bytes] | None = None

    def ask(self, *words: str) -> dict[str, Any]:
        line = [sys.executable, "-m", "clubapp.desk.bench.chaos.stage", *words]
        done = subprocess.run(line, cwd=settings.BASE_DIR, env=environment(self.data), capture_output=True, text=True)
        if done.returncode:
            raise RuntimeError(done.stderr[-2000:])
        told: dict[str, Any] = json.loads(done.stdout)
        return told

    def start(self) -> None:
        line = [sys.executable, "manage.py", "serve", "--host", "127.0.0.1", "--port", str(self.port)]
        with (self.data / "server.log").open("ab") as log:
            self.process = subprocess.Popen(
                line, cwd=settings.BASE_DIR, env=environment(self.data), stdout=log, stderr=log
            )

    def kill(self) -> None:
        if self.process is not None:
            self.process.kill()
            self.process.wait()
            self.process = None

    def faults(self) -> int:
        """Pages that broke: a power cut may cost a connection, never a 500."""
        return len(BROKEN.findall((self.data / "server.log").read_text(errors="replace")))


@dataclass
class Chaos:
    plan: Plan
    done: int = 0
    phones: list[Phone] = field(default_factory=list)
    pages: list[Page] = field(default_factory=list)
    waiting: int = 0  # on the phones in the end

    def lot(self, what: str) -> random.Random:
        return random.Random(f"{self.plan.seed} {what}")

    async def run(self) -> dict[str, Any]:
        started = time.monotonic()
        async with AsyncExitStack() as stack:
            data = stack.enter_context(data_folder())
            self.club = Club(data, brokers.free_port())
            filling = asyncio.to_thread(self.club.ask, "fill", str(self.plan.phones))
            self.stage, browser = await asyncio.gather(filling, self._browser(stack))
            self.network = BadNetwork(self.club.port, self.lot("network"))
            home = f"127.0.0.1:{await self.network.open()}"
            stack.callback(self.network.close)
            self.club.start()
            stack.callback(self.club.kill)
            await self._gather(browser, home)
            await self._tap_and_kill()
            audit, unequal = await self._settle()
            for task in self.tasks:
                task.cancel()
            await asyncio.gather(*self.tasks, return_exceptions=True)
            return await self._figures(audit, unequal) | {"seconds": time.monotonic() - started}

    async def _browser(self, stack: AsyncExitStack) -> Browser | None:
        chromium = find_chromium() if self.plan.pages else None
        return await stack.enter_async_context(browsing(chromium)) if chromium else None

    async def _gather(self, browser: Browser | None, home: str) -> None:
        pages = self.plan.pages if browser else 0
        for number in range(self.plan.phones - pages):
            self.phones.append(Phone(number, home, self.stage, self.lot(f"phone {number}")))
        acts: list[Callable[[Phone], Coroutine[Any, Any, None]]] = [Phone.send_all, Phone.look, Phone.listen]
        self.tasks = [asyncio.ensure_future(act(phone)) for phone in self.phones for act in acts]
        if browser is not None:
            opening = (
                Page.open(browser, home, self.stage, number, self.lot(f"page {number}"))
                for number in range(self.plan.phones - pages, self.plan.phones)
            )
            self.pages += await asyncio.gather(*opening)

    # --- the storm ---

    async def _tap_and_kill(self) -> None:
        tapping = [self._taps(phone) for phone in self.phones] + [self._touches(page) for page in self.pages]
        await asyncio.gather(self._kills(), *tapping)

    async def _taps(self, phone: Phone) -> None:
        while self.done < self.plan.operations:
            if len(phone.queue) < FULL:
                self.done += 1
                # The leader's phone gives all commands; half of what it does are taps like everybody's.
                if not (phone.number == 0 and phone.lot.random() < min(0.5, COMMANDS * self.plan.phones)):
                    phone.write()
                elif not phone.command():
                    self.done -= 1
            await asyncio.sleep(phone.lot.uniform(0, THINK_S))

    async def _touches(self, page: Page) -> None:
        while self.done < self.plan.operations:
            try:
                tapped = len(await page.waits()) < FULL and await page.tap()
                self.done += tapped  # by itself: others count while this one waits
            except (RuntimeError, TimeoutError):  # the network gave no page
                await page.load()
            await asyncio.sleep(page.lot.uniform(0, THINK_S))

    async def _kills(self) -> None:
        lot = self.lot("kills")
        for at in sorted(lot.sample(range(self.plan.operations), self.plan.kills)):
            while self.done < at:
                await asyncio.sleep(0.02)
            await asyncio.sleep(lot.uniform(0, THINK_S))
            await asyncio.to_thread(self.club.kill)
            self.club.start()

    # --- afterwards ---

    async def _settle(self) -> tuple[dict[str, Any], int]:
        """The network is good again: what the club holds, and how many phones show something else in the end."""
        self.network.calm = True
        self.waiting = await self._until_none(self._waiting)
        audit = await asyncio.to_thread(self.club.ask, "audit")
        return audit, await self._until_none(lambda: self._unequal(audit))

    async def _until_none(self, count: Callable[[], Awaitable[int]]) -> int:
        """Ask until it is none, or has not become less for long."""
        least, until = await count(), time.monotonic() + SETTLE_S
        while least and time.monotonic() < until:
            await asyncio.sleep(0.2)
            if (now := await count()) < least:
                least, until = now, time.monotonic() + SETTLE_S
        return least

    async def _waiting(self) -> int:
        many = sum(len(phone.queue) for phone in self.phones)
        for page in self.pages:
            with suppress(RuntimeError, TimeoutError):
                await page.run('window.dispatchEvent(new Event("online"))')
                many += len([state for state in await page.waits() if state == "waiting"])
                continue
            await page.load()
            many += 1
        return many

    async def _unequal(self, audit: dict[str, Any]) -> int:
        right = {child: audit["kinds"].get(child, "cleared") for child in audit["children"]}
        shown = [phone.kinds for phone in self.phones] + [await page.shown() for page in self.pages]
        return sum({child: kinds.get(child) for child in right} != right for kinds in shown)

    async def _figures(self, audit: dict[str, Any], unequal: int) -> dict[str, Any]:
        made = [op_id for phone in self.phones for op_id in phone.made]
        made += [op_id for page in self.pages for op_id in await page.made()]
        tried = {op_id for page in self.pages for op_id in await page.tried()} | set(made)
        refused = sum(len(phone.refused) for phone in self.phones)
        refused += sum([len(await page.waits()) for page in self.pages])
        confirmed = {op_id for phone in self.phones for op_id in phone.confirmed}
        errors = [error for phone in self.phones for error in phone.errors]
        tally, kinds = self.network.tally, sum((phone.kinds_made for phone in self.phones), Counter[str]())
        return {
            "phones": len(self.phones),
            "pages": len(self.pages),
            "operations": self.done,
            "kills": self.plan.kills,
            "messages_lost": tally.lost,
            "messages_late": tally.late,
            "messages_doubled": tally.doubled,
            "messages_swapped": tally.swapped,
            "writes_made": len(made),
            "lost": len(set(made) - set(audit["writes"])) - self.waiting,
            "never_sent": self.waiting,
            "children_too_many": len(audit["children"]) - len(self.stage["children"]) - kinds["new child"],
            "twice": len(audit["writes"]) - self.stage["before"] - len(tried & set(audit["writes"])),
            "refused": refused,
            "refused_first": next((why for phone in self.phones for why in phone.refused), ""),
            "kinds_made": ", ".join(f"{kinds[kind]} {kind}" for kind in sorted(kinds)),
            "registers_unequal": unequal,
            "commands_confirmed": len(confirmed),
            "commands_lost": len(confirmed - set(audit["commands"])),
            "commands_twice": len(audit["commands"]) - len(set(audit["commands"])),
            "broken_pages": self.club.faults(),
            "bell_error_p95_ms": herd.p95(errors) if errors else -1.0,
            "bell_error_worst_ms": max(errors, default=-1.0),
        }
