"""The engine reads no clock and draws no lot without a seed."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.rules.house import ROOT, short

MODULES = sorted((ROOT / "clubapp/engine").rglob("*.py"))
CLOCKS = {"now", "utcnow", "today", "time", "monotonic", "perf_counter", "time_ns", "sleep"}
SEEDED = {"Random", "default_rng", "Generator"}


def calls(path: Path) -> list[tuple[ast.Call, str]]:
    """Every call of the module with its dotted name."""
    tree = ast.parse(path.read_text())
    return [(node, ast.unparse(node.func)) for node in ast.walk(tree) if isinstance(node, ast.Call)]


def is_forbidden(call: ast.Call, name: str) -> bool:
    first, last = name.split(".")[0], name.split(".")[-1]
    if name in ("open", "print", "input", "hash"):
        return True
    if last in CLOCKS and first in ("time", "datetime", "date", "timezone"):
        return True
    drawn = first == "random" or ".random." in name
    return (drawn and last not in SEEDED) or (last in SEEDED and not call.args)


@pytest.mark.parametrize("path", MODULES, ids=short)
def test_no_clock_no_file_no_unseeded_lot(path: Path) -> None:
    found = [f"{call.lineno}: {name}" for call, name in calls(path) if is_forbidden(call, name)]
    if path.name == "limits.py":
        found = [line for line in found if not line.endswith("time.monotonic")]
    assert found == []
