"""The engine reads no clock and draws no lot without a seed."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.rules.house import ROOT, short

MODULES = sorted((ROOT / "clubapp/engine").rglob("*.py"))
CLOCKS = {"now", "utcnow", "today", "time", "monotonic", "perf_counter", "time_ns", "sleep"}
SEEDED = {"Random", "default_rng", "Generator"}
# Who may look into a topic's parts: the topic, its other parts, and what stands above the topics.
ABOVE = {"repair", "whynot"}


def calls(path: Path) -> list[tuple[ast.Call, str]]:
    """Every call of the module by its dotted name; a call on the answer of another is that answer's own affair."""
    found = [node for node in ast.walk(ast.parse(path.read_text())) if isinstance(node, ast.Call)]
    return [(node, ast.unparse(node.func)) for node in found if "(" not in ast.unparse(node.func)]


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


def parts_used(path: Path) -> set[str]:
    """Modules named topic_part that this module imports."""
    named = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.ImportFrom) and node.module:
            named |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    own = {f"clubapp.engine.{module.stem}": module.stem for module in MODULES if "_" in module.stem.strip("_")}
    return {own[name] for name in named if name in own}


@pytest.mark.parametrize("path", MODULES, ids=short)
def test_a_topic_uses_no_other_topic_s_parts(path: Path) -> None:
    mine = path.stem.split("_")[0]
    assert {part for part in parts_used(path) if part.split("_")[0] != mine and mine not in ABOVE} == set()
