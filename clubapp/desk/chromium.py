"""Chromium, driven over its own debugging protocol: for what has to be measured or seen in a real browser."""

from __future__ import annotations

import asyncio
import itertools
import json
import os
import shutil
import signal
import subprocess
import tempfile
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from websockets.asyncio.client import ClientConnection, connect
from websockets.exceptions import ConnectionClosed

# The one without windows first: it costs half as much, and draws pages alike.
NAMES = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--remote-debugging-port=0",
)
START_S, ANSWER_S, LOAD_S, END_S = 60.0, 60.0, 60.0, 10.0


def find_chromium() -> str | None:
    return next((path for name in NAMES if (path := shutil.which(name))), None)


class Browser:
    """One connection to Chromium. Answers are matched by number; events are not listened to."""

    def __init__(self, line: ClientConnection) -> None:
        self.line, self.numbers = line, itertools.count(1)
        self.waiting: dict[int, asyncio.Future[dict[str, Any]]] = {}
        self.reading = asyncio.ensure_future(self._read())

    async def _read(self) -> None:
        async for text in self.line:
            told = json.loads(text)
            asked = self.waiting.pop(told.get("id", 0), None)
            if asked is not None and not asked.done():
                asked.set_result(told)

    async def ask(self, method: str, session: str = "", **given: Any) -> dict[str, Any]:
        number = next(self.numbers)
        answer = self.waiting[number] = asyncio.get_running_loop().create_future()
        message = {"id": number, "method": method, "params": given} | ({"sessionId": session} if session else {})
        await self.line.send(json.dumps(message))
        async with asyncio.timeout(ANSWER_S):  # `wait_for` loses a caller's own limit that ends as the answer comes
            told = await answer
        if "error" in told:
            raise RuntimeError(f"{method}: {told['error']['message']}")
        result: dict[str, Any] = told["result"]
        return result


@asynccontextmanager
async def browsing(chromium: str) -> AsyncIterator[Browser]:
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        words = [chromium, *FLAGS, f"--user-data-dir={profile}", "about:blank"]
        running = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, process_group=0)
        try:
            async with connect(await _address(Path(profile) / "DevToolsActivePort"), max_size=None) as line:
                browser = Browser(line)
                try:
                    yield browser
                finally:
                    await _end(browser)
        finally:
            os.killpg(running.pid, signal.SIGTERM)  # on Debian the command is a shell: its browser would stay
            await asyncio.to_thread(running.wait)


async def _end(browser: Browser) -> None:
    """Asked to: what we started may be a script that would go alone."""
    with suppress(OSError, ConnectionClosed, RuntimeError, TimeoutError):
        async with asyncio.timeout(END_S):
            await browser.ask("Browser.close")
            await browser.line.wait_closed()
    browser.reading.cancel()


async def _address(told: Path) -> str:
    async with asyncio.timeout(START_S):
        while not told.exists() or len(told.read_text().splitlines()) < 2:
            await asyncio.sleep(0.05)  # another program's start says nothing when it is done
    port, path = told.read_text().splitlines()[:2]
    return f"ws://127.0.0.1:{port}{path}"


@dataclass
class Tab:
    """One page; with others of the same context it shares cookies."""

    browser: Browser
    session: str

    @classmethod
    async def open(cls, browser: Browser, context: str = "") -> Tab:
        """In a context of its own unless one is named."""
        context = context or (await browser.ask("Target.createBrowserContext"))["browserContextId"]
        target = await browser.ask("Target.createTarget", url="about:blank", browserContextId=context)
        told = await browser.ask("Target.attachToTarget", targetId=target["targetId"], flatten=True)
        tab = cls(browser, told["sessionId"])
        for domain in ("Page", "Network", "Runtime"):
            await tab.ask(f"{domain}.enable")
        return tab

    async def ask(self, method: str, **given: Any) -> dict[str, Any]:
        return await self.browser.ask(method, self.session, **given)

    async def run(self, script: str) -> Any:
        """The value of an expression, awaited if it is a promise."""
        told = await self.ask(
            "Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True, userGesture=True
        )
        if "exceptionDetails" in told:
            raise RuntimeError(str(told["exceptionDetails"].get("exception", {}).get("description", "")))
        return told["result"].get("value")

    async def until(self, script: str) -> None:
        """Wait until an expression is true; what it reads may vanish while a page loads.

        Raises:
            TimeoutError: it never was.
        """
        async with asyncio.timeout(LOAD_S):
            while not await self._true(script):
                await asyncio.sleep(0.05)  # a page says nothing to us by itself

    async def _true(self, script: str) -> bool:
        try:
            return bool(await self.run(script))
        except RuntimeError:
            return False

    async def go(self, address: str) -> None:
        await self.ask("Page.navigate", url=address)
        await self.until(f"location.href.startsWith({json.dumps(address)}) && document.readyState === 'complete'")
