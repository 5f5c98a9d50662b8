"""The whole of it: phones tap, the network misbehaves, the server dies; then it is counted what is where."""

from __future__ import annotations

import asyncio
import random
import time
from collections import Counter
from collections.abc import Awaitable, Callable, Coroutine
from contextlib import AsyncExitStack, suppress
from dataclasses import dataclass, field
from typing import Any

from clubapp.desk.bench import brokers, herd
from clubapp.desk.bench.chaos.club import Club
from clubapp.desk.bench.chaos.pages import Page
from clubapp.desk.bench.chaos.phone import Phone
from clubapp.desk.bench.chaos.proxy import BadNetwork
from clubapp.desk.bench.rows import Row
from clubapp.desk.chromium import Browser, browsing, find_chromium
from clubapp.desk.folder import data_folder

THINK_S, FULL, COMMANDS = 0.2, 3, 0.05
SETTLE_S = 90.0  # so long nothing may be taken from any phone before it is given up
SAY_S = 10.0  # between two lines on how far it is


@dataclass(frozen=True)
class Plan:
    """pages: of the phones, so many are real pages in Chromium. kills: SIGKILLs of the server.

    limit_s: the storm ends so long after the start, whatever is done by then.
    """

    phones: int = 40
    operations: int = 3000
    kills: int = 10
    pages: int = 2
    seed: int = 1
    limit_s: float = 1800.0


SHORT = Plan(phones=6, operations=200, kills=2, limit_s=600.0)


def row(plan: Plan, say: Callable[[str], None]) -> Row:
    """say: is told every ten seconds how far it is."""
    figures = asyncio.run(Chaos(plan, say).run())
    return Row("chaos", "nothing lost, nothing twice, the register equal everywhere", figures)


@dataclass
class Chaos:
    """waiting, unequal: by phone, the writes that never left it and the children it shows otherwise than the club."""

    plan: Plan
    say: Callable[[str], None] = lambda line: None
    done: int = 0
    killed: int = 0
    phase: str = "filling"
    phones: list[Phone] = field(default_factory=list)
    pages: list[Page] = field(default_factory=list)
    tasks: list[asyncio.Future[None]] = field(default_factory=list)
    waiting: Counter[str] = field(default_factory=Counter)
    unequal: Counter[str] = field(default_factory=Counter)

    def lot(self, what: str) -> random.Random:
        return random.Random(f"{self.plan.seed} {what}")

    async def run(self) -> dict[str, Any]:
        self.started = time.monotonic()
        async with AsyncExitStack() as stack:
            telling = asyncio.ensure_future(self._tell())
            stack.callback(telling.cancel)
            data = stack.enter_context(data_folder())
            self.club = Club(data, brokers.free_port())
            stack.callback(self.club.kill)
            filling = asyncio.to_thread(self.club.open, self.plan.phones)
            self.stage, browser = await asyncio.gather(filling, self._browser(stack))
            self.network = BadNetwork(self.club.port, self.lot("network"))
            home = f"127.0.0.1:{await self.network.open()}"
            stack.callback(self.network.close)
            await self._gather(browser, home)
            await self._tap_and_kill()
            audit = await self._settle()
            for task in self.tasks:
                task.cancel()
            await asyncio.gather(*self.tasks, return_exceptions=True)
            return await self._figures(audit) | {"seconds": time.monotonic() - self.started}

    async def _tell(self) -> None:
        """Until cancelled: how far it is."""
        while True:
            queues = [len(phone.queue) for phone in self.phones if phone.queue]
            line = f"{time.monotonic() - self.started:5.0f} s  {self.phase}: {self.done} of {self.plan.operations} taps"
            line += f", {self.killed} of {self.plan.kills} kills"
            self.say(f"{line}, {sum(queues)} writes wait on {len(queues)} phones")
            await asyncio.sleep(SAY_S)

    async def _browser(self, stack: AsyncExitStack) -> Browser | None:
        chromium = find_chromium() if self.plan.pages else None
        return await stack.enter_async_context(browsing(chromium)) if chromium else None

    async def _gather(self, browser: Browser | None, home: str) -> None:
        self.phase = "connecting"
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
        self.phase = "storm"
        tapping = [self._taps(phone) for phone in self.phones] + [self._touches(page) for page in self.pages]
        with suppress(TimeoutError):
            async with asyncio.timeout_at(self.started + self.plan.limit_s):
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
            self.killed += 1

    # --- afterwards ---

    async def _settle(self) -> dict[str, Any]:
        """The network is good again: wait until all is sent and shown, and answer with what the club holds."""
        self.network.calm, self.phase = True, "sending what waits"
        self.waiting = await self.until_none(self._waiting)
        audit = await asyncio.to_thread(self.club.audit)
        self.phase = "comparing registers"
        self.unequal = await self.until_none(lambda: self._unequal(audit))
        return audit

    async def until_none(self, count: Callable[[], Awaitable[Counter[str]]]) -> Counter[str]:
        """Ask until it is none, or has not become less for long; what is left, by phone."""
        left = Counter({"a phone that does not answer": 1})
        with suppress(TimeoutError):
            async with asyncio.timeout(SETTLE_S) as patience:
                while left:
                    now = await count()
                    if now.total() < left.total():
                        patience.reschedule(time.monotonic() + SETTLE_S)
                    left = now
                    await asyncio.sleep(0.2 if left else 0)
        return left

    async def _waiting(self) -> Counter[str]:
        many = Counter({f"phone {phone.number}": len(phone.queue) for phone in self.phones})
        for number, page in enumerate(self.pages, start=len(self.phones)):
            many[f"page {number}"] = await self._waiting_on(page)
        return +many

    async def _waiting_on(self, page: Page) -> int:
        with suppress(RuntimeError, TimeoutError):
            await page.run('window.dispatchEvent(new Event("online"))')
            return (await page.waits()).count("waiting")
        await page.load()
        return 1

    async def _unequal(self, audit: dict[str, Any]) -> Counter[str]:
        right = {child: audit["kinds"].get(child, "cleared") for child in audit["children"]}
        shown = {f"phone {phone.number}": phone.kinds for phone in self.phones}
        for number, page in enumerate(self.pages, start=len(self.phones)):
            shown[f"page {number}"] = await page.shown()
        return +Counter(
            {who: sum(kinds.get(child) != kind for child, kind in right.items()) for who, kinds in shown.items()}
        )

    def unsettled(self) -> str:
        """What was given up, by phone; empty where nothing was."""
        found = [f"{number} writes wait on {who}" for who, number in self.waiting.items()]
        found += [f"{who} shows {number} children otherwise" for who, number in self.unequal.items()]
        if self.done < self.plan.operations or self.killed < self.plan.kills:
            done = f"{self.done} of {self.plan.operations} taps, {self.killed} of {self.plan.kills} kills"
            found.insert(0, f"{done} after {self.plan.limit_s:.0f} s")
        return "; ".join(found)

    async def _figures(self, audit: dict[str, Any]) -> dict[str, Any]:
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
            "kills": self.killed,
            "messages_lost": tally.lost,
            "messages_late": tally.late,
            "messages_doubled": tally.doubled,
            "messages_swapped": tally.swapped,
            "writes_made": len(made),
            "lost": len(set(made) - set(audit["writes"])) - self.waiting.total(),
            "never_sent": self.waiting.total(),
            "children_too_many": len(audit["children"]) - len(self.stage["children"]) - kinds["new child"],
            "twice": len(audit["writes"]) - self.stage["before"] - len(tried & set(audit["writes"])),
            "refused": refused,
            "refused_first": next((why for phone in self.phones for why in phone.refused), ""),
            "kinds_made": ", ".join(f"{kinds[kind]} {kind}" for kind in sorted(kinds)),
            "registers_unequal": len(self.unequal),
            "commands_confirmed": len(confirmed),
            "commands_lost": len(confirmed - set(audit["commands"])),
            "commands_twice": len(audit["commands"]) - len(set(audit["commands"])),
            "broken_pages": self.club.faults(),
            "bell_error_p95_ms": herd.p95(errors) if errors else -1.0,
            "bell_error_worst_ms": max(errors, default=-1.0),
            "unsettled": self.unsettled() or "nothing",
        }
