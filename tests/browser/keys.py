"""An adult who has a keyboard and nothing else: every step is a Tab, and every stop on the way is looked at."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from playwright.sync_api import Page

MOST = 250  # stops on the longest page; more is a trap

# Where the focus is: what it is called, whether it can be seen there, and whether it stands behind the stop before.
STOP = """() => {
  const one = document.activeElement;
  if (!one || one === document.body || one === document.documentElement) return null;
  const label = one.labels?.[0]?.textContent ?? "";
  const name = (one.getAttribute("aria-label") || (one.matches("input, select, textarea") ? label : one.textContent))
    .trim().replace(/\\s+/g, " ");
  const look = getComputedStyle(one);
  const shown = (look.outlineStyle !== "none" && parseFloat(look.outlineWidth) >= 2) || look.boxShadow !== "none";
  const box = one.getBoundingClientRect();
  const [x, y] = [box.x + Math.min(box.width, 200) / 2, box.y + box.height / 2];
  const top = document.elementFromPoint(x, y);
  const open = top && (one.contains(top) || top.contains(one) || top.closest("label")?.control === one);
  const before = window.lastStop;
  const follows = !before?.isConnected || one.matches(".skip") || before.contains(one) ||
    Boolean(before.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_FOLLOWING);
  window.lastStop = one;
  return { name, tag: one.tagName, shown, open: Boolean(open), follows, bar: Boolean(one.closest(".thumb")) };
}"""


@dataclass
class Keys:
    """wrong: what was amiss on the way, page by page."""

    page: Page
    wrong: list[str] = field(default_factory=list)

    def tab(self) -> dict[str, Any] | None:
        """One stop further; None between the end of the page and its beginning."""
        self.page.keyboard.press("Tab")
        stop: dict[str, Any] | None = self.page.evaluate(STOP)
        for what in ("shown", "open", "follows"):
            if stop is not None and not stop[what]:
                self.wrong.append(f"{self.page.url}: {stop['tag']} “{stop['name'][:60]}” is not {what}")
        if stop is None:
            self.page.evaluate("() => { window.lastStop = null; }")
        return stop

    def to(self, name: str) -> None:
        """Tab until the focus is on what is called so, or begins so."""
        passed = []
        for _press in range(2 * MOST):
            stop = self.tab()
            if stop is not None and stop["name"].startswith(name):
                return
            passed.append(stop and stop["name"][:30])
        raise AssertionError(f"no way to “{name}” on {self.page.url}, only to {sorted(set(map(str, passed)))}")

    def press(self, name: str, key: str = "Enter") -> None:
        self.to(name)
        self.page.keyboard.press(key)

    def follow(self, name: str) -> None:
        """Press what leads to another page, and wait until that one is there."""
        self.to(name)
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")
        self.page.wait_for_selector("html[data-ready]", state="attached")

    def write(self, name: str, text: str) -> None:
        self.to(name)
        self.page.keyboard.press("Control+a")
        self.page.keyboard.insert_text(text)

    def dial(self, name: str, figures: str) -> None:
        """A date or a time, figure by figure as its field takes them."""
        self.to(name)
        self.page.keyboard.type(figures)

    def hold(self, name: str, seconds: float) -> None:
        self.to(name)
        self.page.keyboard.press("Enter", delay=1000 * seconds)

    def round(self) -> list[dict[str, Any]]:
        """Once through the whole page, from its beginning to its end: nothing on it keeps the focus."""
        self.page.evaluate("() => { document.activeElement?.blur(); window.lastStop = null; scrollTo(0, 0); }")
        stops: list[dict[str, Any]] = []
        for _press in range(MOST):
            stop = self.tab()
            if stop is None or (stops and stop["name"] == stops[0]["name"]):
                return stops
            stops.append(stop)
        raise AssertionError(f"the focus never comes back on {self.page.url}")
