"""The long search in a process of its own, as the server starts it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

from tests.browser.servers import own_folder
from tests.rules.house import ROOT


def staged(data: Path, *words: str) -> dict[str, Any]:
    command = [sys.executable, "-m", "tests.rotation.search_stage", *words]
    done = subprocess.run(command, cwd=ROOT, env=own_folder(data), capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    told: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return told


def test_it_ends_by_itself_when_the_best_is_proven(tmp_path: Path) -> None:
    told = staged(tmp_path, "16", "4")
    assert told["status"] == 0
    assert told["outcome"] == "stored"
    assert told["proof"]["status"] == "BEST"


def test_good_enough_ends_it_with_the_best_so_far(tmp_path: Path) -> None:
    told = staged(tmp_path, "48", "8", "enough")
    assert told["status"] == 0
    assert told["outcome"] == "stored"
    assert told["proof"]["status"] == "GOOD"
    score, bound = told["told"]
    assert bound <= told["proof"]["score"] <= score + 1e-9
