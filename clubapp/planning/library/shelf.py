"""The cards every club finds: a file each, ours, in an order of their own."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

from clubapp.planning.library.card import Aim, Card
from clubapp.planning.library.reading import read

FOLDER = Path(__file__).parent / "cards"


@cache
def standard() -> dict[str, Card]:
    """By code, which is the file's name; aim by aim."""
    cards = {path.stem: read(json.loads(path.read_text(encoding="utf-8"))) for path in FOLDER.glob("*.json")}
    return dict(sorted(cards.items(), key=lambda row: (list(Aim).index(row[1].aims[0]), row[1].name)))
