"""`manage.py rotation ROSTER.csv`: fair groups and a station rotation from two files, with no database.

Dates such as 9/4/2016 are read day first, unless a date of the same column can only be month first. The exit status is
0, 2 for a file or an argument that cannot be used, 3 for wishes that cannot all be had.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

from django.core.management.base import BaseCommand, CommandError, CommandParser

from clubapp.engine.outcome import Status
from clubapp.engine.words import Station
from clubapp.rotation import commandline, mixed, printed, repair_files, roster_files
from clubapp.rotation.roster_files import InputError

WRONG, IMPOSSIBLE = 2, 3


Made = commandline.Plan | mixed.Mix | repair_files.Repaired


class Form(NamedTuple):
    """How a plan is put out, how new groups in every round are, and how a plan that was changed is."""

    plan: Callable[[commandline.Plan], str]
    mix: Callable[[mixed.Mix], str]
    repaired: Callable[[repair_files.Repaired], str]

    def __call__(self, made: Made) -> str:
        if isinstance(made, repair_files.Repaired):
            return self.repaired(made)
        return self.mix(made) if isinstance(made, mixed.Mix) else self.plan(made)


FORMS: dict[str, Form] = {
    "text": Form(printed.as_text, mixed.as_text, repair_files.as_text),
    "json": Form(printed.as_json, mixed.as_json, repair_files.as_json),
    "csv": Form(printed.as_csv, mixed.as_csv, repair_files.as_csv),
}


class Command(BaseCommand):
    help = "Cuts the children of a roster into fair groups and sends them round the stations."
    requires_system_checks: list[str] = []
    requires_migrations_checks = False

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("roster", metavar="ROSTER.csv", help="columns: " + ",".join(roster_files.ROSTER))
        stations = "a file with the columns " + ",".join(roster_files.STATIONS) + "; or how many (default: as groups)"
        parser.add_argument("--stations", metavar="STATIONS.csv|N", help=stations)
        parser.add_argument("--groups", type=above_zero, metavar="N", help="default: as suits the children")
        parser.add_argument("--rounds", type=above_zero, metavar="N", help="default: as many as stations")
        parser.add_argument("--work", type=above_zero, metavar="S", help="seconds of a round, default 300")
        change = "seconds of a change-over, default 60; with --repair what changed, as often as needed: "
        parser.add_argument(
            "--change", type=change_of, action="append", metavar="S|CHANGE", help=change + repair_files.KINDS
        )
        parser.add_argument("--minutes", type=above_zero, metavar="M", help="fit the rounds into so many minutes")
        parser.add_argument(
            "--balance", default="speed_s,age,skill", help="default speed_s,age,skill; empty for nothing"
        )
        kinds = "never exactly one of a kind in a group, such as sex:f; can be given again"
        parser.add_argument("--not-alone", action="append", default=[], metavar="KIND", help=kinds)
        near = "every child has another within so many years in the group"
        parser.add_argument("--age-gap", type=positive, metavar="YEARS", help=near)
        parser.add_argument("--max-hard-run", type=from_zero, metavar="N", help="most hard stations in a row")
        parser.add_argument("--on", type=a_date, metavar="DATE", help="the day of the session, default today")
        parser.add_argument("--seed", type=from_zero, default=0, metavar="N", help="draws the bibs and the lots")
        parser.add_argument("--mix", action="store_true", help="new groups in every round, to meet as many as can be")
        parser.add_argument("--repair", metavar="PLAN.json", help="a plan of this command, to be changed while it runs")
        parser.add_argument("--round", type=above_zero, metavar="R", help="with --repair: the round the plan is in")
        parser.add_argument("--careful", action="store_true", help="think longer: up to half a minute a step")
        parser.add_argument("--format", choices=list(FORMS), default="text")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            made = self._made(options)
        except InputError as error:
            raise CommandError(str(error), returncode=WRONG) from error
        impossible = made.status is Status.IMPOSSIBLE
        if impossible and options["format"] != "json":
            raise CommandError(FORMS["text"](made), returncode=IMPOSSIBLE)
        self.stdout.write(FORMS[options["format"]](made))
        if impossible:
            sys.exit(IMPOSSIBLE)

    def _made(self, options: dict[str, Any]) -> Made:
        wish = wish_of(options)
        roster = roster_files.read_roster(options["roster"], content(options["roster"]), wish.balance, wish.on)
        stations, warnings = stations_of(options["stations"])
        for warning in (*roster.warnings, *warnings):
            self.stderr.write(f"Note: {warning}")
        if options["repair"] is not None:
            running = repair_files.read(options["repair"], content(options["repair"]))
            return repair_files.make(
                wish, roster, stations, repair_files.Order(running, options["round"], changes_of(options))
            )
        if options["round"] is not None or changes_of(options):
            raise InputError("--round and --change with what changed need --repair with the plan.")
        commandline.check(wish, roster)
        if not options["mix"]:
            return commandline.make(wish, roster, stations)
        for option in ("work", "change", "minutes", "max_hard_run"):
            if options[option] is not None:
                name = option.replace("_", "-")
                self.stderr.write(
                    f"Note: --{name} is left aside: --mix plans neither times nor hard stations in a row."
                )
        return mixed.make(wish, roster, stations)


def wish_of(options: dict[str, Any]) -> commandline.Wish:
    """The options as the engine's bridge takes them."""
    return commandline.Wish(
        on=options["on"] or date.today(),
        balance=tuple(dict.fromkeys(name for part in options["balance"].split(",") if (name := part.strip().lower()))),
        not_alone=tuple(dict.fromkeys(kind.strip().lower() for kind in options["not_alone"])),
        groups=options["groups"],
        rounds=options["rounds"],
        work_s=options["work"],
        change_s=next((change for change in reversed(options["change"] or ()) if isinstance(change, int)), None),
        minutes=options["minutes"],
        age_gap=options["age_gap"],
        max_hard_run=options["max_hard_run"],
        seed=options["seed"],
        careful=options["careful"],
    )


def changes_of(options: dict[str, Any]) -> tuple[str, ...]:
    """What changed, as it was typed."""
    return tuple(change for change in options["change"] or () if isinstance(change, str))


def stations_of(text: str | None) -> tuple[tuple[Station, ...] | None, tuple[str, ...]]:
    """A number of stations, or a file of them, or neither."""
    if text is None:
        return None, ()
    if not text.strip().lstrip("+-").isdigit():
        return roster_files.read_stations(text, content(text))
    try:
        return commandline.numbered(above_zero(text)), ()
    except argparse.ArgumentTypeError as error:
        raise InputError(f"--stations: {error}") from error


def content(name: str) -> bytes:
    try:
        return Path(name).read_bytes()
    except OSError as error:
        raise InputError(f"{name}: {error.strerror or 'it cannot be read'}.") from error


def checked(parse: Callable[[str], Any]) -> Callable[[str], Any]:
    """A parser whose complaint argparse shows as it is."""

    def read(text: str) -> Any:
        try:
            return parse(text)
        except ValueError as error:
            raise argparse.ArgumentTypeError(str(error)) from error

    return read


def whole(least: int, text: str) -> int:
    found = roster_files.count(text.strip())
    if found is None or found < least:
        raise ValueError(f"“{text}” is no whole number from {least} up.")
    return found


from_zero = checked(lambda text: whole(0, text))
above_zero = checked(lambda text: whole(1, text))
positive = checked(roster_files.a_number)
a_date = checked(roster_files.a_date)


def change_of(text: str) -> int | str:
    """Seconds, or something that changed: that has a colon."""
    return text if ":" in text else int(from_zero(text))
