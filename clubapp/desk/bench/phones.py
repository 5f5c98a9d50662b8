"""How far the figures on phones are from the server's clock: the pages' own scripts in a simulated hour.

The scripts run in Chromium, because that is where they run; without one there is nothing to measure.
"""

from __future__ import annotations

import json
import re
import subprocess
import tempfile
from dataclasses import asdict, dataclass
from html import unescape
from pathlib import Path
from typing import Any

from clubapp.desk.bench.rows import Row
from clubapp.desk.chromium import find_chromium

SCRIPT = Path(__file__).with_suffix(".js")
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--allow-file-access-from-files",
    "--dump-dom",
)
PAGE = """<!doctype html><meta charset="utf-8"><title>phones</title>
<script type="application/json" id="given">{given}</script><pre id="found"></pre>
<script type="module" src="{script}"></script>"""


@dataclass(frozen=True)
class Hour:
    """What is simulated. Each way takes least_ms + an exponential wait of more_ms on average; lost: share of messages.

    wrong_ms: so far a phone's own clock may be off either way; drift_ppm likewise. Every other phone sleeps once.
    """

    phones: int = 200
    minutes: int = 60
    seed: int = 1
    least_ms: float = 20
    more_ms: float = 50
    lost: float = 0.02
    wrong_ms: float = 300_000
    drift_ppm: float = 50
    slept_ms: float = 180_000


def row(hour: Hour) -> Row:
    """Without Chromium it says so."""
    against = "the server's clock; at most 30 ms in 95 of 100, never over 150 ms"
    path = find_chromium()
    return Row("phones' clocks", against, simulated(hour, path) if path else {"measured": "no Chromium found"})


def simulated(hour: Hour, chromium: str) -> dict[str, Any]:
    """Figures by name; milliseconds while digits are shown, blank_share: of the time in which none are."""
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "phones.html"
        page.write_text(PAGE.format(given=json.dumps(asdict(hour)), script=SCRIPT.as_uri()))
        words = [chromium, *FLAGS, f"--user-data-dir={folder}/profile", page.as_uri()]
        told = subprocess.run(words, capture_output=True, text=True, check=True)
    found = re.search(r'<pre id="found">(.+?)</pre>', told.stdout)
    if found is None:
        raise RuntimeError(f"the simulation ended without figures:\n{told.stderr[-2000:]}")
    figures: dict[str, Any] = json.loads(unescape(found[1]))
    return figures
