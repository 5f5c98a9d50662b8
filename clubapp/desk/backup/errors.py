"""What is in the way of a backup or of the way back, in one line."""

from __future__ import annotations


class BackupError(Exception):
    """Said to whoever runs the command; nothing was changed."""
