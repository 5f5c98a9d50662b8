"""How a page is looked at: the size of the screen, the light, paper, and letters twice as large."""

from __future__ import annotations

from dataclasses import dataclass

from clubapp.desk.chromium import Tab

TALLEST = 4000  # pixels of a page; beyond that a picture tells nobody anything


@dataclass(frozen=True)
class Look:
    """letters: the size a person has chosen in the browser, in pixels."""

    name: str
    width: int = 390
    height: int = 844
    dark: bool = False
    sun: bool = False
    paper: bool = False
    letters: int = 16

    async def put_on(self, tab: Tab) -> None:
        await tab.ask(
            "Emulation.setDeviceMetricsOverride",
            width=self.width,
            height=self.height,
            deviceScaleFactor=1,
            mobile=self.width < 900,
        )
        scheme = {"name": "prefers-color-scheme", "value": "dark" if self.dark else "light"}
        await tab.ask("Emulation.setEmulatedMedia", media="print" if self.paper else "", features=[scheme])
        await tab.run(f"document.documentElement.style.fontSize = '{self.letters}px'")
        await tab.run(f"document.documentElement.toggleAttribute('data-sun', {str(self.sun).lower()})")
        await tab.run("new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)))")


LOOKS = {
    look.name: look
    for look in (
        Look("phone"),
        Look("small", 360, 640),
        Look("tablet", 768, 1024),
        Look("desk", 1280, 800),
        Look("dark", dark=True),
        Look("sun", sun=True),
        Look("large", letters=32),
        Look("paper", 794, 1123, paper=True),
    )
}
