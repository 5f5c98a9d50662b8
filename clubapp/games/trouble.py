"""Why something cannot be done, in words for the adult."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class WayOut:
    """One wish with which it could be done. name: of its field; words: for a button, so that the adult says so."""

    name: str
    value: str
    words: str


class RefusedError(ValueError):
    """The message says what is in the way and what to do."""

    def __init__(self, message: str, way_out: WayOut | None = None) -> None:
        super().__init__(message)
        self.way_out = way_out
