"""`manage.py deliver`: sends what waits in the outbox, beside several server processes."""

from __future__ import annotations

import threading
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from clubapp.core import post


class Command(BaseCommand):
    help = "Sends mails that wait, and goes on doing so; `serve` does it by itself."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--once", action="store_true", help="send what is due and end")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["once"]:
            sent = 0
            while some := post.deliver():
                sent += some
            self.stdout.write(f"{sent} sent.")
            return
        try:
            post.drain(threading.Event())
        except KeyboardInterrupt:
            self.stdout.write("Stopped.")
