"""One thing to look at: a page, who opens it, and how the evening or the phone stands meanwhile."""

from __future__ import annotations

from dataclasses import dataclass

BELL, STATION = "/bell/{session}/", "/bell/{session}/station/{station1}/"
REGISTER, PLAN = "/register/{session}/", "/plan/{session}/"
SHOWN = (
    "document.querySelector('[data-bell]').dataset.known === 'asked' && Boolean(document.documentElement.dataset.face)"
)
QUEUE = "document.documentElement.dataset.queueReady === 'yes'"
ROWS = "document.documentElement.dataset.rowsReady === 'yes'"
# Four hours on, and the club's server cannot be asked.
LATER = """localStorage.clear();
const now = Date.now;
Date.now = () => now() + 4 * 3600_000;
window.fetch = () => Promise.reject(new TypeError());"""
# The phone's clock that much further on; the server may be asked.
AHEAD = "const now = Date.now; Date.now = () => now() + %d * 60_000;"
# What goes by itself after ten seconds or more stays to be looked at.
STAYS = """const wait = window.setTimeout;
window.setTimeout = (act, ms, ...more) => (ms >= 10_000 ? 0 : wait(act, ms, ...more));"""
PLAIN_HTTP = """Object.defineProperty(window, "isSecureContext", { get: () => false });
Object.defineProperty(Navigator.prototype, "serviceWorker", { get: () => undefined });
Object.defineProperty(Navigator.prototype, "wakeLock", { get: () => undefined });"""


@dataclass(frozen=True)
class Scene:
    """evening: how the bell stands; "" as it is. early: a script before the page's own. cut: the act from which on
    there is no network.

    acts: what the adult does, script by script; after each what comes next in `until` is waited for.
    status: the answer that is right here. instead: a template shown in the page's place; nothing here breaks on demand.
    """

    name: str
    who: str
    path: str
    evening: str = ""
    early: str = ""
    cut: int | None = None
    acts: tuple[str, ...] = ()
    until: tuple[str, ...] = ()
    instead: str = ""
    status: int = 200


def click(selector: str) -> str:
    return f"document.querySelector({selector!r}).click()"


def there(selector: str) -> str:
    return f"Boolean(document.querySelector({selector!r})?.checkVisibility())"


def press(text: str) -> str:
    """The button with these words."""
    return f"[...document.querySelectorAll('button')].find((one) => one.textContent.trim() === {text!r}).click()"
