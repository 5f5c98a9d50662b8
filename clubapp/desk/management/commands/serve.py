"""`manage.py serve`: the club's own server in one process."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from clubapp.desk import server
from clubapp.desk.management import serving
from clubapp.people import actions as people_actions
from clubapp.people.models import Club


class Command(BaseCommand):
    help = "Makes the tables, serves the club to the phones on the network, and prints where."

    def add_arguments(self, parser: ArgumentParser) -> None:
        serving.add_options(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        serving.start(options, self.stdout, first_steps)


def first_steps(door: server.Door) -> list[str]:
    """On an empty database: the link that makes the club, good once."""
    if Club.objects.exists():
        return []
    link = people_actions.make_set_up_link()
    return ["No club yet. This link makes it and its head coach, once:", door.here.rstrip("/") + link]
