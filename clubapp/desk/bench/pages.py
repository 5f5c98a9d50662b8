"""How soon a page is there and answers, on a slow phone with a slow network: Chromium's own performance entries."""

from __future__ import annotations

import asyncio
import statistics
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from clubapp.desk.bench.rows import Row
from clubapp.desk.chromium import Browser, Tab, browsing, find_chromium
from clubapp.desk.screens.scene import BELL, PLAN, REGISTER, STATION
from clubapp.desk.screens.shoot import Studio, staged

SLOWER, LATENCY_MS, BYTES_A_SECOND = 4, 400, 400_000 // 8
PAINT_MS, SHIFT, TAP_MS = 2500, 0.02, 100
TAPS = 3  # of which the middle one is told
CONTACT_S = 0.08  # how long a finger stays down: common practice, no published source
# What the machine itself needs from a finger to a frame, on the same slowed processor: no page answers sooner.
BARE = "data:text/html,<!doctype html><meta name=viewport content=width=device-width><button>Tap</button>"
WATCH = """window.seen = { paint: 0, shift: 0, tap: 0 };
new PerformanceObserver((list) => { for (const one of list.getEntries()) seen.paint = one.startTime; })
  .observe({ type: "largest-contentful-paint", buffered: true });
new PerformanceObserver((list) => {
  for (const one of list.getEntries()) if (!one.hadRecentInput) seen.shift += one.value;
}).observe({ type: "layout-shift", buffered: true });
new PerformanceObserver((list) => {
  for (const one of list.getEntries()) if (one.interactionId) seen.tap = Math.max(seen.tap, one.duration);
}).observe({ type: "event", durationThreshold: 16, buffered: true });"""
# A finger comes down on a page that stands still: what scrolling drew anew is no part of the answer.
PLACE = """(async () => {
  const one = [...document.querySelectorAll(%r)].find((one) => one.checkVisibility({ visibilityProperty: true }));
  one.scrollIntoView({ block: "center" });
  await new Promise((still) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(still, 200))));
  const { x, y, width, height } = one.getBoundingClientRect();
  return [x + width / 2, y + height / 2];
})()"""
# Entries come after the frame they tell of.
TOLD = "new Promise((told) => setTimeout(() => told(seen), 1500))"


@dataclass(frozen=True)
class Visit:
    """tap: what is tapped, none where a tap leads to another page. ready: when the page's script is at work."""

    name: str
    who: str
    path: str
    tap: str = ""
    ready: str = "document.documentElement.dataset.ready !== undefined"


BELL_READY = "document.documentElement.dataset.bellReady === 'yes'"
ROWS_READY = "document.documentElement.dataset.rowsReady === 'yes'"
VISITS = (
    Visit("today", "coach", "/"),
    Visit("squad list", "coach", "/people/athletes/", "[type=search]"),
    Visit("session", "coach", "/sessions/{session}/"),
    Visit("register", "assistant", REGISTER, "#children button.mark-tap", ROWS_READY),
    Visit("groups", "coach", PLAN, "summary"),
    Visit("bell, leader", "coach", BELL, "[name=add]", BELL_READY),
    Visit("bell, station", "assistant", STATION, "[data-count]", BELL_READY),
    Visit("bell, helper", "helper", STATION, "[data-count]", BELL_READY),
)


def rows() -> Iterator[Row]:
    """Without Chromium it says so."""
    chromium = find_chromium()
    against = f"largest paint {PAINT_MS} ms, shift {SHIFT}, tap to answer {TAP_MS} ms"
    if chromium is None:
        yield Row("pages", against, {"measured": "no Chromium found"})
        return
    for visit, figures in asyncio.run(measured(chromium)):
        yield Row(visit.name, against, figures)


async def measured(chromium: str, visits: tuple[Visit, ...] = VISITS) -> list[tuple[Visit, dict[str, Any]]]:
    async with staged() as told, browsing(chromium) as browser:
        studio = Studio(browser, told)
        await studio.bring_to("work")
        return [(visit, await figures_of(browser, studio, visit)) for visit in visits]


async def figures_of(browser: Browser, studio: Studio, visit: Visit) -> dict[str, Any]:
    """Of the first visit, with nothing kept on the phone, and of the next ones."""
    studio.contexts.pop(visit.who, None)
    first = await once(studio, visit, tap=False)
    later = [await once(studio, visit, tap=bool(visit.tap)) for _ in range(TAPS if visit.tap else 1)]
    figures = {"first_paint_ms": first["paint"], "first_shift": first["shift"]}
    figures |= {"later_paint_ms": later[0]["paint"], "later_shift": max(one["shift"] for one in later)}
    if not visit.tap:
        return figures
    bare = [await once(studio, replace(visit, path=BARE, tap="button", ready="true"), tap=True) for _ in range(TAPS)]
    middle = [statistics.median(one["tap"] for one in ones) for ones in (later, bare)]
    return figures | {"tap_ms": middle[0], "bare_tap_ms": middle[1], "tap_over_bare_ms": middle[0] - middle[1]}


async def once(studio: Studio, visit: Visit, *, tap: bool) -> dict[str, float]:
    tab = await studio.tab(visit.who)
    size = {"width": 390, "height": 844, "deviceScaleFactor": 2, "mobile": True}
    await tab.ask("Emulation.setDeviceMetricsOverride", **size)
    await tab.ask("Emulation.setTouchEmulationEnabled", enabled=True)
    await tab.ask("Emulation.setCPUThrottlingRate", rate=SLOWER)
    slow = {"latency": LATENCY_MS, "downloadThroughput": BYTES_A_SECOND, "uploadThroughput": BYTES_A_SECOND}
    await tab.ask("Network.emulateNetworkConditions", offline=False, **slow)
    await tab.ask("Page.addScriptToEvaluateOnNewDocument", source=WATCH)
    await tab.go(visit.path if visit.path == BARE else studio.address(visit.path))
    await tab.until(visit.ready)
    told: dict[str, float] = await tab.run(TOLD)
    if tap:
        await touch(tab, visit.tap)
        told |= {"tap": (await tab.run(TOLD))["tap"]}
    await tab.ask("Page.close")
    return told


async def touch(tab: Tab, selector: str) -> None:
    x, y = await tab.run(PLACE % selector)
    await tab.ask("Input.dispatchTouchEvent", type="touchStart", touchPoints=[{"x": x, "y": y}])
    await asyncio.sleep(CONTACT_S)
    await tab.ask("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])
