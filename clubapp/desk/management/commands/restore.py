"""`manage.py restore FILE`: a copy in the database's place, while it is served."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from clubapp.desk import backup
from clubapp.desk.backup.errors import BackupError


class Command(BaseCommand):
    help = "Puts a backup in the database's place. What was erased since is erased again; everybody signs in again."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="what `backup` wrote")
        parser.add_argument("--yes", action="store_true", help="do not ask")

    def handle(self, *args: Any, **options: Any) -> None:
        if not options["yes"] and input("Everything since this backup will be gone. Type yes: ").strip() != "yes":
            raise CommandError("Nothing was changed.")
        try:
            done = backup.restore(options["file"])
        except BackupError as error:
            raise CommandError(str(error)) from error
        if done.aside:
            self.stdout.write(f"The state before stands in {done.aside}; delete it once it is not wanted.")
        self.stdout.write(f"Restored. Children erased once more: {done.erased}. Everybody signs in again.")
