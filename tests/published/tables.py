"""The published figures kept beside these tests."""

from __future__ import annotations

import csv
from pathlib import Path

DATA = Path(__file__).parent / "data"


def rows(name: str) -> list[list[str]]:
    """The lines of a table, the empty cells at their ends left out."""
    with (DATA / name).open(newline="") as file:
        return [[cell for cell in row if cell] for row in csv.reader(file)]


def numbers(name: str, skip: int = 1) -> list[list[int]]:
    """The lines below the heading, as whole numbers."""
    return [[int(cell) for cell in row] for row in rows(name)[skip:]]
