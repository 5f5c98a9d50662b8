"""Why a change to a session cannot be made."""

from __future__ import annotations


class PlanError(ValueError):
    """The message is a sentence for the coach; nothing was changed."""
