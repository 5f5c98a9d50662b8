"""What a phone on a field has to fetch for its station: bytes over the wire, everything included."""

from __future__ import annotations

from collections import Counter
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.chromium import PHONE, comes_true, put_away
from tests.browser.fill import Stage
from tests.browser.servers import Served
from tests.browser.wire import Wire

FIRST, LATER = 120_000, 15_000  # bytes of the station page: the first visit, and every one after it
SCRIPTS, OURS = 60_000, 40_000  # bytes of JavaScript, compressed; of these, our own


def scripts(page: Page) -> Counter[str]:
    """Collects the bytes of each script as the browser counts them, by path."""
    found: Counter[str] = Counter()
    paths: dict[str, str] = {}
    link = page.context.new_cdp_session(page)
    link.send("Network.enable")

    def began(event: dict[str, Any]) -> None:
        if event["type"] == "Script":
            paths[event["requestId"]] = urlsplit(event["response"]["url"]).path

    def ended(event: dict[str, Any]) -> None:
        if event["requestId"] in paths:
            found[paths[event["requestId"]]] += int(event["encodedDataLength"])

    link.on("Network.responseReceived", began)
    link.on("Network.loadingFinished", ended)
    return found


def visit(page: Page, address: str) -> None:
    """Until the page is up, and the worker has everything it keeps."""
    page.goto(address)
    page.wait_for_selector("html[data-queue-ready][data-bell-ready]", state="attached")
    comes_true(page, "() => navigator.serviceWorker.ready.then(() => true)")
    page.wait_for_function("() => navigator.serviceWorker.controller !== null")
    comes_true(page, "() => caches.open('fieldbell-pages').then(c => c.match(location.pathname)).then(Boolean)")
    page.wait_for_load_state("networkidle")


@pytest.mark.parametrize("who", ["finn", "helper"])
def test_the_station_page_is_light(browser: Browser, served: Served, stage: Stage, who: str) -> None:
    with Wire(served.port) as wire:
        context = browser.new_context(viewport=PHONE, base_url=wire.home)
        context.add_cookies(stage.cookies(who, wire.home))
        page = context.new_page()
        found = scripts(page)
        address = f"/bell/{stage.ids['session_id']}/station/{stage.ids['station_id']}/"
        visits = []
        for _visit in range(3):
            wire.received = 0
            visit(page, address)
            visits.append(wire.received)
        ours = sum(size for path, size in found.items() if "django_htmx" not in path)
        everything = sum(found.values())
        put_away(context)
    # The browser fetches the icon of the manifest when it likes, once: that belongs to the first visit.
    later = min(visits[1:])
    first = visits[0] + sum(size - later for size in visits[1:])
    print(f"{who}: first {first}, later {later}, scripts {everything}, ours {ours}")  # noqa: T201
    assert found, "no script was counted"
    assert first <= FIRST
    assert later <= LATER
    assert everything <= SCRIPTS
    assert ours <= OURS
