"""`manage.py bench`: how fast and how fair, on this machine."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from clubapp.desk.bench import fanout, groups


class Command(BaseCommand):
    help = "Measures the engine against the plain methods, and the bell's fan-out against a bare broadcast."
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--format", choices=("text", "json"), default="text")
        parser.add_argument("--sockets", type=int, default=200, help="phones that listen to the bell (default 200)")

    def handle(self, *args: Any, **options: Any) -> None:
        rows = [groups.fair_groups(), fanout.bell(options["sockets"])]
        if options["format"] == "json":
            self.stdout.write(json.dumps([row.as_dict() for row in rows], indent=2))
        else:
            self.stdout.write("\n".join(row.as_text() for row in rows))
