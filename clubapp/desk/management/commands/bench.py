"""`manage.py bench`: how fast and how fair, on this machine."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from clubapp.desk.bench import busy, engine, fanout, games, groups, memory, pages, phones, planning, roster
from clubapp.desk.bench.chaos import run as chaos
from clubapp.desk.bench.effort import BestKnown, Effort
from clubapp.desk.bench.rows import Row

TOPICS = ("short", "engine", "games", "bell", "busy", "chaos", "memory", "pages", "phones", "plan")


class Command(BaseCommand):
    help = "Measures the engine against the plain methods, and the bell's fan-out against a bare broadcast."
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        topics = (
            "engine: all of it on many instances; games: heats, relays, head starts, chasing, fixtures; "
            "bell: its fan-out at every size; busy: the bell while others search; "
            "chaos: forty phones, a bad network, a server that is killed ten times; memory; "
            "pages: on a slow phone and network; "
            "phones: an hour of their clocks, simulated; plan: a session from the library; default: a short look"
        )
        parser.add_argument("topic", nargs="?", choices=TOPICS, default="short", help=topics)
        parser.add_argument("--format", choices=("text", "json"), default="text")
        parser.add_argument("--sockets", type=int, default=0, help="phones that listen to the bell, this size alone")
        parser.add_argument("--seed", type=int, default=1, help="of the chaos (default 1)")
        minutes = "longer search to compare each instance with, by the processor's clock (default 0.05; in full 10)"
        parser.add_argument("--minutes", type=float, default=Effort.minutes, help=minutes)
        parser.add_argument("--row", choices=engine.parts(), default="", help="this row of the engine's alone")
        best = "a file that keeps what longer searches found, so that they can be broken off and go on"
        parser.add_argument("--best", type=Path, help=best)
        parser.add_argument("--instances", type=int, default=Effort.instances, help="seeds of each size (default 8)")

    def handle(self, *args: Any, **options: Any) -> None:
        rows = self._rows(options)
        if options["format"] == "json":
            self.stdout.write(json.dumps([row.as_dict() for row in rows], indent=2))
        else:
            self._print(rows)

    def _rows(self, options: dict[str, Any]) -> Iterator[Row]:
        match options["topic"]:
            case "engine":
                effort = Effort(options["minutes"], options["instances"], BestKnown(options["best"]))
                yield from engine.rows(effort, options["row"])
            case "games":
                yield from games.rows(Effort(instances=options["instances"]))
            case "bell":
                yield from fanout.rows((options["sockets"],) if options["sockets"] else fanout.SIZES)
            case "busy":
                yield busy.row()
            case "chaos":
                yield chaos.row(chaos.Plan(seed=options["seed"]), self._say)
            case "phones":
                yield from (phones.row(phones.Hour(seed=seed)) for seed in range(1, 4))
            case "pages":
                yield from pages.rows()
            case "plan":
                yield from planning.rows(Effort(instances=options["instances"]))
            case "memory":
                yield memory.row()
            case _:
                yield groups.fair_groups()
                yield roster.row()
                yield fanout.bell(options["sockets"] or 200)

    def _say(self, line: str) -> None:
        """How far a long one is, beside the figures."""
        self.stderr.write(line, str)  # in no colour: it is no error
        self.stderr.flush()

    def _print(self, rows: Iterable[Row]) -> None:
        for row in rows:
            self.stdout.write(row.as_text())
            self.stdout.flush()
