"""Two real pages in Chromium, driven over its own debugging protocol: they use the outbox that people use."""

from __future__ import annotations

import asyncio
import random
import time
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from django.conf import settings

from clubapp.desk.chromium import Browser

LOAD_S, MORE_S = 15.0, 1.0  # for a whole load; for the scripts of a page that has all it will get, at first
RELOADED = 0.1
# Every write that is safe on the phone is noted beside it, so that a reload does not forget what was promised.
NOTE = """document.addEventListener("fieldbell:outbox", ({ detail: { op, state } }) => {
  if (state !== "waiting") return;
  localStorage["chaos." + op.op_id] = "1";
});
for (const name of ["add", "put"]) {
  const keep = IDBObjectStore.prototype[name];
  IDBObjectStore.prototype[name] = function (value, ...more) {
    if (value?.op_id) localStorage["tried." + value.op_id] = "1";
    return keep.call(this, value, ...more);
  };
}"""
NOTED = """Object.keys(localStorage).filter((key) => key.startsWith("%s.")).map((key) => key.slice(6))"""
READY = 'document.documentElement.dataset.rowsReady === "yes"'
COMPLETE = 'location.protocol !== "about:" && document.readyState === "complete"'
TAP = """(() => {
  const all = [...document.querySelectorAll("#children .row form[data-outbox] button")];
  if (!all.length || document.documentElement.dataset.rowsReady !== "yes") return false;
  all[%d %% all.length].click();
  return true;
})()"""
WRITES = """new Promise((done, failed) => {
  const request = indexedDB.open("fieldbell");
  request.onerror = () => failed(request.error);
  request.onsuccess = () => {
    const all = request.result.transaction("writes").objectStore("writes").getAll();
    all.onsuccess = () => { request.result.close(); done(all.result.map(({ state }) => state)); };
  };
})"""
CHANGED = 'Boolean(document.querySelector("#news a"))'
SHOWN = """Object.fromEntries(
  [...document.querySelectorAll("#children .mark")].map((row) => [row.id.slice(5), row.dataset.kind]))"""


@dataclass
class Page:
    """One adult's register in a profile of its own."""

    browser: Browser
    session: str
    address: str
    lot: random.Random

    @classmethod
    async def open(cls, browser: Browser, home: str, stage: dict[str, Any], number: int, lot: random.Random) -> Page:
        context = (await browser.ask("Target.createBrowserContext"))["browserContextId"]
        target = await browser.ask("Target.createTarget", url="about:blank", browserContextId=context)
        told = await browser.ask("Target.attachToTarget", targetId=target["targetId"], flatten=True)
        address = f"http://{home}/register/{stage['session']}/"
        page = cls(browser, told["sessionId"], address, lot)
        cookie = {"name": settings.SESSION_COOKIE_NAME, "value": stage["phones"][number]["key"], "url": address}
        await page.ask("Network.setCookie", **cookie)
        await page.ask("Page.enable")
        await page.ask("Page.addScriptToEvaluateOnNewDocument", source=NOTE)
        await page.load()
        return page

    async def ask(self, method: str, **given: Any) -> dict[str, Any]:
        return await self.browser.ask(method, self.session, **given)

    async def run(self, script: str) -> Any:
        told = await self.ask("Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True)
        if "exceptionDetails" in told:
            raise RuntimeError(str(told["exceptionDetails"].get("exception", {}).get("description", "")))
        return told["result"].get("value")

    async def load(self) -> None:
        """The register, as often as the network needs."""
        more_s = MORE_S
        while True:
            with suppress(RuntimeError, TimeoutError):
                await self.ask("Page.navigate", url=self.address)
                async with asyncio.timeout(LOAD_S) as patience:
                    await self._until(COMPLETE)
                    patience.reschedule(time.monotonic() + more_s)  # a script the network lost does not come any more
                    await self._until(READY)
                return
            more_s = min(2 * more_s, LOAD_S)
            await asyncio.sleep(0.2)

    async def _until(self, script: str) -> None:
        while not await self.run(script):
            await asyncio.sleep(0.05)

    async def tap(self) -> bool:
        """Somewhere; whether there was anything to tap. Sometimes the page is loaded anew just after it."""
        try:
            tapped = bool(await self.run(TAP % self.lot.randrange(10**6)))
        except (RuntimeError, TimeoutError):
            tapped = False
        if not tapped or self.lot.random() < RELOADED:
            await self.load()
        return tapped

    async def waits(self) -> list[str]:
        """The states of what is not yet taken."""
        states: list[str] = await self.run(WRITES)
        return [state for state in states if state != "taken"]

    async def made(self) -> list[str]:
        """The writes of which the page said that they are safe."""
        found: list[str] = await self.run(NOTED % "chaos")
        return found

    async def tried(self) -> list[str]:
        """Those and the ones a reload cut off just before it could say so."""
        found: list[str] = await self.run(NOTED % "tried")
        return found

    async def shown(self) -> dict[str, str]:
        """By child; loaded anew where the page says that its list has changed, as an adult would."""
        if await self.run(CHANGED):
            await self.load()
        found: dict[str, str] = await self.run(SHOWN)
        return found
