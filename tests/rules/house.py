"""Where the project's own files are."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
APPS = ("core", "people", "results", "planning", "register", "rotation", "games", "live", "family", "desk")


def modules() -> list[Path]:
    """Every Python file of the product; migrations are made by a tool and left out."""
    return [path for path in sorted((ROOT / "clubapp").rglob("*.py")) if "migrations" not in path.parts]


def templates() -> list[Path]:
    return sorted((ROOT / "templates").rglob("*.html"))


def short(path: Path) -> str:
    return str(path.relative_to(ROOT))


@dataclass(frozen=True)
class Function:
    """One function of the product."""

    path: Path
    node: ast.FunctionDef | ast.AsyncFunctionDef

    @property
    def lines(self) -> int:
        return (self.node.end_lineno or self.node.lineno) - self.node.lineno + 1

    @property
    def parameters(self) -> list[str]:
        names = [arg.arg for arg in (*self.node.args.posonlyargs, *self.node.args.args, *self.node.args.kwonlyargs)]
        return [name for name in names if name not in ("self", "cls")]

    @property
    def is_view(self) -> bool:
        return "views" in self.path.relative_to(ROOT).with_suffix("").parts and self.parameters[:1] == ["request"]

    def __str__(self) -> str:
        return f"{short(self.path)}:{self.node.lineno} {self.node.name}"


def functions() -> Iterator[Function]:
    for path in modules():
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                yield Function(path, node)
