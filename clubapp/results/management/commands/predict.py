"""`manage.py predict RESULTS.csv --as-of DATE --trial NAME`: what each child is likely to run, with no database.

Prints the median and the span in which four in five runs lie. The exit status is 0, or 2 for a file or an argument that
cannot be used.
"""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from clubapp.results import predicting

WRONG = 2


class Command(BaseCommand):
    help = "Predicts each child's time on a timed test from a file of results."
    requires_system_checks: list[str] = []
    requires_migrations_checks = False

    def add_arguments(self, parser: CommandParser) -> None:
        columns = ",".join((*predicting.NEEDED, f"[{predicting.BORN}]"))
        parser.add_argument("results", metavar="RESULTS.csv", help=f"columns: {columns}; - reads standard input")
        parser.add_argument("--as-of", required=True, type=date.fromisoformat, metavar="DATE", help="e.g. 2016-04-09")
        parser.add_argument("--trial", required=True, metavar="NAME", help="as the file names it")
        parser.add_argument("--format", choices=("text", "json", "csv"), default="text")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            sheet = predicting.read(_bytes(options["results"]))
            rows = predicting.predict(sheet, trial=options["trial"], as_of=options["as_of"])
        except (OSError, predicting.InputError) as error:
            raise CommandError(str(error), returncode=WRONG) from error
        form = options["format"]
        if form == "json":
            self.stdout.write(predicting.as_json(rows, options["as_of"]))
        else:
            self.stdout.write(predicting.as_csv(rows) if form == "csv" else predicting.as_text(rows))


def _bytes(name: str) -> bytes:
    return sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()
