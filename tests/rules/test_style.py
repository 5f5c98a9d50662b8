"""Types, lint and layout of the code, as the tools see them."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.rules.house import ROOT

TOOLS = {
    "types": ["mypy"],
    "lint": ["ruff", "check", "."],
    "layout": ["ruff", "format", "--check", "."],
}


@pytest.mark.parametrize("name", TOOLS)
def test_the_tool_finds_nothing(name: str) -> None:
    done = subprocess.run([sys.executable, "-m", *TOOLS[name]], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
