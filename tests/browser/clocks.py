"""Wrong clocks on phones, and whether the phones agree all the same."""

from __future__ import annotations

import json
import re
import time
from dataclasses import dataclass

from playwright.sync_api import Page, WebSocketRoute, expect

READING_MS = 1.0  # a browser tells its wall clock in whole milliseconds


def shifted(minutes: int) -> str:
    """A script that makes the browser's clock wrong by so much, whichever way a page reads it."""
    return f"""(() => {{
        const shift = {minutes * 60_000}, Right = Date, origin = performance.timeOrigin;
        globalThis.Date = class extends Right {{
            constructor(...words) {{ words.length ? super(...words) : super(Right.now() + shift); }}
            static now() {{ return Right.now() + shift; }}
        }};
        Object.defineProperty(performance, "timeOrigin", {{get: () => origin + shift}});
    }})();"""


def without_sync(page: Page, minutes_wrong: int) -> None:
    """Switch synchronisation off from outside: every answer says that the phone's own clock is right."""

    def believe(route: WebSocketRoute) -> None:
        server = route.connect_to_server()

        def tell(message: str | bytes) -> None:
            told = json.loads(message)
            if told["type"] == "pong":
                told["t1"] = told["t2"] = time.time() * 1000 + minutes_wrong * 60_000
            route.send(json.dumps(told))

        server.on_message(tell)

    page.route_web_socket(re.compile(r"/ws/bell/"), believe)


@dataclass(frozen=True)
class Deadline:
    """The instant a phone counts down to, in the server's time, and how far off the phone says that may be (ms).

    The instant is the one on the phone's own wrong clock, put right by what the test knows of that clock; nothing the
    phone believes about the server enters into it.
    """

    at: float
    error: float


def deadline_of(page: Page, minutes_wrong: int) -> Deadline:
    """Wait until the phone runs and knows the time."""
    bell = page.locator("[data-bell]")
    expect(bell).to_have_attribute("data-phase", "running")
    expect(bell).to_have_attribute("data-local-deadline", re.compile(r"^\d"))
    local, error = bell.evaluate("({dataset}) => [Number(dataset.localDeadline), Number(dataset.errorMs)]")
    return Deadline(local - minutes_wrong * 60_000, error)


def assert_agree(one: Deadline, other: Deadline) -> None:
    """The same instant, within the sum of what either may be off."""
    apart, bound = abs(one.at - other.at), one.error + other.error + 2 * READING_MS
    assert apart <= bound, f"{apart:.1f} ms apart, and at most {bound:.1f} ms are explained"
