"""`manage.py think`: does the long searches that wait, and ends. The server starts it; nobody needs to."""

from __future__ import annotations

import os
from typing import Any

from django.core.management.base import BaseCommand

from clubapp.rotation import searching

POLITE = 10  # gives way to the server and its bell


class Command(BaseCommand):
    help = "Looks longer for fairer groups where a coach has asked for it. The server starts this by itself."
    requires_system_checks: list[str] = []
    requires_migrations_checks = False

    def handle(self, *args: Any, **options: Any) -> None:
        if hasattr(os, "nice"):
            os.nice(POLITE)
        searching.work()
