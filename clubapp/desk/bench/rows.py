"""One line of the bench."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any


@dataclass(frozen=True)
class Row:
    """What was measured, what it is measured against, and the figures by name."""

    name: str
    against: str
    figures: dict[str, float | int | str] = field(default_factory=dict)

    def as_dict(self) -> dict[str, Any]:
        return asdict(self)

    def as_text(self) -> str:
        figures = "  ".join(f"{name} {shown(value)}" for name, value in self.figures.items())
        return f"{self.name} (against {self.against})\n    {figures}"


def shown(value: float | int | str) -> str:
    return f"{value:.5g}" if isinstance(value, float) else str(value)
