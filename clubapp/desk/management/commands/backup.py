"""`manage.py backup FILE`: a copy of the whole database, while it is served."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from clubapp.desk import backup
from clubapp.desk.backup.errors import BackupError


class Command(BaseCommand):
    help = "Copies the database to a new file while the club is served. The keys are not in it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="a name that is not there yet")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            backup.back_up(options["file"])
        except BackupError as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"{options['file']}: {options['file'].stat().st_size:,} bytes, read through and sound.")
        self.stdout.write(
            f"Keep field.keys and erased.ids from {settings.DATA_DIR} in another place: without the first no health "
            "note can be read, without the second an erased child would come back."
        )
