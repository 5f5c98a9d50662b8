"""Why something cannot be done, in words for the adult."""

from __future__ import annotations


class RefusedError(ValueError):
    """The message says what is in the way and what to do."""
