"""Keeps addresses, which carry tokens, out of what Django writes to the log."""

from __future__ import annotations

import logging


class NoAddress(logging.Filter):
    """Django's lines on a request end in its path: the last argument is dropped, the fault itself stays."""

    def filter(self, record: logging.LogRecord) -> bool:
        if isinstance(record.args, tuple) and record.args:
            record.args = (*record.args[:-1], "address left out")
        return True
