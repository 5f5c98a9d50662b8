"""Goes through the scenes in Chromium, takes the pictures and notes what is wrong on each."""

from __future__ import annotations

import asyncio
import base64
import json
import subprocess
import sys
import uuid
from collections.abc import AsyncIterator, Awaitable, Callable, Iterable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from django.conf import settings
from django.template.loader import render_to_string

from clubapp.desk.chromium import Browser, Tab, browsing
from clubapp.desk.folder import data_folder, environment
from clubapp.desk.screens.looks import TALLEST, Look
from clubapp.desk.screens.scene import QUEUE, Scene

MEASURE = Path(__file__).with_name("measure.js")
PARTS = {"work": "work", "change": "change", "water": "water"}
GIVE = """(async () => {
  const body = new FormData();
  for (const [name, value] of Object.entries(%s)) body.set(name, value);
  body.set("csrfmiddlewaretoken", document.querySelector("[name=csrfmiddlewaretoken]").value);
  const answer = await fetch(%s, { method: "POST", body, headers: { Accept: "application/json" } });
  return answer.ok ? answer.json() : { status: answer.status };
})()"""
# A page to read is shown whole, one to run a session from as it lies in the hand.
WHOLE = "matchMedia('print').matches || !document.body.classList.contains('scoreboard')"
# Nought: the page came out of the phone's own store.
ANSWER = "performance.getEntriesByType('navigation')[0]?.responseStatus ?? 0"
STATE = "fetch('/bell/%s/state/', { headers: { Accept: 'application/json' } }).then((told) => told.json())"


@dataclass(frozen=True)
class Seen:
    """One picture: where it is, and what is wrong on it."""

    scene: Scene
    look: Look
    wrong: tuple[str, ...]


Hook = Callable[[Tab], Awaitable[list[str]]]


@dataclass
class Studio:
    """A served evening and a browser with a profile for each adult. also: what else to look for on each picture."""

    browser: Browser
    told: dict[str, Any]
    folder: Path | None = None
    also: Hook | None = None
    contexts: dict[str, str] = field(default_factory=dict)
    evening: str = ""

    @property
    def home(self) -> str:
        return f"http://127.0.0.1:{self.told['port']}"

    def address(self, path: str) -> str:
        full = path.format(**self.told["ids"], **self.told["tokens"])
        return full if full.startswith("http") else self.home + full

    async def tab(self, who: str) -> Tab:
        if who not in self.contexts:
            told = await self.browser.ask("Target.createBrowserContext")
            self.contexts[who] = told["browserContextId"]
        tab = await Tab.open(self.browser, self.contexts[who])
        if who in self.told["keys"]:
            name = "fieldbell-pass" if who in ("helper", "waiter") else settings.SESSION_COOKIE_NAME
            await tab.ask("Network.setCookie", name=name, value=self.told["keys"][who], url=self.home)
        return tab

    # --- the evening ---

    async def send(self, where: str, **fields: Any) -> dict[str, Any]:
        """As the leader's page does."""
        address = f"/bell/{self.told['ids']['session']}/{where}/"
        body = {"op_id": str(uuid.uuid4()), **fields}
        told: dict[str, Any] = await self.leader.run(GIVE % (json.dumps(body), json.dumps(address)))
        return told

    async def give(self, kind: str, **more: Any) -> None:
        told = await self.send("command", kind=kind, seen=9999, **more)
        if not told.get("accepted"):
            raise RuntimeError(f"the bell did not take {kind}: {told}")

    async def where(self, said: str) -> None:
        """Of one child: missing, or found with its group."""
        told = await self.send("where", athlete=self.told["ids"]["child"], said=said)
        if "status" in told:
            raise RuntimeError(f"the club did not take {said}: {told}")

    async def state(self) -> dict[str, Any]:
        told = await self.leader.run(STATE % self.told["ids"]["session"])
        found: dict[str, Any] = told["state"]
        return found

    async def bring_to(self, evening: str) -> None:
        """The bell as a scene wants it."""
        if evening in ("", self.evening, "not begun") and evening != "last ten":
            return
        if not self.evening:
            self.leader = await self.tab("coach")
            await self.leader.go(self.address("/bell/{session}/"))
            await self.give("start")
        if self.evening == "missing":
            await self.where("group")
        if (await self.state())["phase"] in ("paused", "stopped"):
            await self.give("resume")
        await self._go_on(evening)
        self.evening = evening

    async def _go_on(self, evening: str) -> None:
        match evening:
            case "work" | "change" | "water":
                await self._next(PARTS[evening])
            case "last ten":
                await self._shorten()
            case "missing":
                await self._next("work")
                await self.where("missing")
            case "over":
                await self._next("")
            case "paused":
                await self.give("pause")
            case "stop":
                await self.give("stop", reason="hurt")
            case "thunder" | "ended":
                await self.give({"thunder": "thunder", "ended": "end"}[evening])

    async def _next(self, part: str) -> None:
        """On to a part of this kind; "" behind the last one."""
        while True:
            state = await self.state()
            kinds = [kind for kind, *_rest in state["segments"]]
            if [*kinds, ""][state["index"]] == part:
                return
            await self.give("next")

    async def _shorten(self) -> None:
        """A part of work just begun, 25 s long: the three pages fit into its last ten."""
        await self.give("next")
        await self._next("work")
        for _twice in range(2):
            state = await self.state()
            left = (state["deadline_ms"] - state["since_ms"]) // 1000
            await self.give("", add=max(-600, min(600, 25 - left)) or 1)

    # --- the pictures ---

    async def look_at(self, scene: Scene, looks: Iterable[Look]) -> list[Seen]:
        await self.bring_to(scene.evening)
        tab = await self.tab(scene.who)
        if scene.early:
            await tab.ask("Page.addScriptToEvaluateOnNewDocument", source=f"(() => {{ {scene.early} }})();")
        await tab.go(self.address(scene.path))
        if scene.instead:
            page = render_to_string(scene.instead, {"minutes": 5})
            await tab.run(f"document.documentElement.innerHTML = {json.dumps(page)}")
        await tab.run("document.fonts.ready.then(() => true)")
        for number, (act, until) in enumerate(zip(scene.acts, scene.until, strict=True)):
            if number == scene.cut:
                await self._cut(tab)
            await tab.run(act)
            await tab.until(until)
        found = [await self._picture(tab, scene, look) for look in looks]
        await tab.ask("Page.close")
        if scene.cut is not None:  # what this phone still has to send never reaches the club
            self.contexts.pop(scene.who)
        return found

    async def _cut(self, tab: Tab) -> None:
        await tab.until(QUEUE)
        away = {"latency": 0, "downloadThroughput": 0, "uploadThroughput": 0}
        await tab.ask("Network.emulateNetworkConditions", offline=True, **away)

    async def _picture(self, tab: Tab, scene: Scene, look: Look) -> Seen:
        await look.put_on(tab)
        wrong = [] if look.paper else await tab.run(MEASURE.read_text())
        if (status := await tab.run(ANSWER)) not in (scene.status, 0):
            wrong.append(f"the page answers {status}")
        if self.also is not None and not look.paper:
            wrong += await self.also(tab)
        if self.folder is not None:
            await self._keep(tab, self.folder / look.name / f"{scene.name}.png", look)
        return Seen(scene, look, tuple(wrong))

    async def _keep(self, tab: Tab, path: Path, look: Look) -> None:
        path.parent.mkdir(parents=True, exist_ok=True)
        if await tab.run(WHOLE):
            height = min(TALLEST, int(await tab.run("document.documentElement.scrollHeight")))
            await replace(look, height=max(look.height, height)).put_on(tab)
        told = await tab.ask("Page.captureScreenshot", format="png")
        path.write_bytes(base64.b64decode(told["data"]))


@asynccontextmanager
async def staged() -> AsyncIterator[dict[str, Any]]:
    """An evening, served in a process and a data folder of its own."""
    with data_folder() as data:
        log = data / "server.log"
        words = [sys.executable, "-m", "clubapp.desk.screens.stage"]
        with (
            log.open("w") as errors,
            subprocess.Popen(
                words,
                cwd=settings.BASE_DIR,
                env=environment(data),
                stdout=subprocess.PIPE,
                stderr=errors,
                text=True,
            ) as process,
        ):
            try:
                line = await asyncio.to_thread(process.stdout.readline) if process.stdout else ""
                if not line:
                    raise RuntimeError(log.read_text()[-2000:])
                yield json.loads(line)
            finally:
                process.terminate()


async def shoot(
    chromium: str,
    scenes: Iterable[Scene],
    looks: tuple[Look, ...],
    folder: Path | None = None,
    also: Hook | None = None,
) -> list[Seen]:
    """Every scene in every look, in this order: the evening only goes on."""
    found: list[Seen] = []
    async with staged() as told, browsing(chromium) as browser:
        studio = Studio(browser, told, folder, also)
        for scene in scenes:
            try:
                found += await studio.look_at(scene, looks)
            except (TimeoutError, RuntimeError) as problem:
                why = f"cannot be shown: {type(problem).__name__} {problem}"
                found.append(Seen(scene, looks[0], (why,)))
    return found
