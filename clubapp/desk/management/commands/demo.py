"""`manage.py demo`: an invented club to try everything on."""

from __future__ import annotations

from argparse import ArgumentParser
from functools import partial
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from clubapp.desk import server
from clubapp.desk.demo import scenario
from clubapp.desk.demo.load import OtherClubError, load
from clubapp.desk.management import serving

ROLES = (
    ("head coach", (scenario.HEAD_COACH,)),
    ("assistant", scenario.ASSISTANTS),
    ("guardian", tuple(kin.adult for kin in scenario.GUARDIANS)),
)


class Command(BaseCommand):
    help = "Makes the tables, loads Millrace Juniors (an invented club), serves it, and prints how to sign in."

    def add_arguments(self, parser: ArgumentParser) -> None:
        serving.add_options(parser)
        parser.add_argument("--fresh", action="store_true", help="take the demo away and load it anew")

    def handle(self, *args: Any, **options: Any) -> None:
        serving.start(options, self.stdout, partial(sign_ins, options["fresh"]))


def sign_ins(fresh: bool, door: server.Door) -> list[str]:
    """Load, and say how to get in."""
    try:
        passwords = load(fresh=fresh)
    except OtherClubError as error:
        raise CommandError(
            "This database holds a club of your own; the demo stays out of it: set FIELDBELL_DATA to another folder."
        ) from error
    lines = [f"{scenario.CLUB}: every name is invented. The passwords are new at each start.", ""]
    for role, adults in ROLES:
        lines += [f"  {role:<11} {adult.email:<26} {passwords[adult.email]}" for adult in adults]
    return lines
