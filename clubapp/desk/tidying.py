"""Looks now and then whether a club's monthly clean-up is due."""

from __future__ import annotations

import logging
import threading

from django.db import connection
from django.utils import timezone

from clubapp.people import actions

log = logging.getLogger(__name__)

LOOKS_EVERY_S = 1800.0


def watch(stop: threading.Event) -> None:
    """Until told to stop. What fails is tried again at the next look."""
    while not stop.wait(LOOKS_EVERY_S):
        try:
            actions.tidy_due(timezone.now())
        except Exception:
            log.exception("old records could not be looked at")
        finally:
            connection.close()
