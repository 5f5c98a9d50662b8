"""How long a thing may be. Each test prints what is over."""

from __future__ import annotations

from pathlib import Path
from statistics import median

import pytest

from tests.rules.house import ROOT, functions, modules, short, templates

FILES_AND_LINES: dict[str, tuple[list[Path], int]] = {
    "a module": (modules(), 300),
    "a script": (sorted((ROOT / "static/js").rglob("*.js")), 120),
    "a style sheet": (sorted((ROOT / "static/css").rglob("*.css")), 150),
    "a template": (templates(), 120),
}


@pytest.mark.parametrize("kind", FILES_AND_LINES)
def test_no_file_is_too_long(kind: str) -> None:
    files, most = FILES_AND_LINES[kind]
    lengths = {short(path): len(path.read_text().splitlines()) for path in files}
    assert lengths, f"no file of this kind: {kind}"
    assert {name: lines for name, lines in lengths.items() if lines > most} == {}


def test_no_function_is_over_50_lines() -> None:
    assert [f"{function}: {function.lines}" for function in functions() if function.lines > 50] == []


def test_no_view_is_over_30_lines() -> None:
    assert [f"{view}: {view.lines}" for view in functions() if view.is_view and view.lines > 30] == []


def test_the_middle_function_has_at_most_10_lines() -> None:
    assert median(function.lines for function in functions()) <= 10


def test_more_than_5_parameters_are_a_dataclass() -> None:
    over = [f"{function}: {', '.join(function.parameters)}" for function in functions() if len(function.parameters) > 5]
    assert over == []
