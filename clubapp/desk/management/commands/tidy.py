"""`manage.py tidy`: what is older than its club's period; with `--do` the monthly run of clubs that asked for it."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from clubapp.people import actions, keeping
from clubapp.people.models import Club


class Command(BaseCommand):
    help = "Lists what is older than each club's period. Removes nothing without --do."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--do", action="store_true", help="the monthly run, for clubs that switched it on")

    def handle(self, *args: Any, **options: Any) -> None:
        for club in Club.objects.order_by("name", "pk"):
            self._list(club)
        if options["do"]:
            done = actions.tidy_due(timezone.now(), by_night=False)
            self.stdout.write(
                f"Done for {done} of {Club.objects.count()}; others are not asked to or had theirs this month."
            )

    def _list(self, club: Club) -> None:
        how = "goes every month" if club.tidies_itself else "goes when the head coach says so"
        found = keeping.going(club)
        self.stdout.write(f"{club.name}: {how if found else 'nothing has had its time'}.")
        for one in found:
            self.stdout.write(f"  {one.keeping.title}, before {one.first_kept}:")
            for line in one.lines:
                self.stdout.write(f"    {line}")
