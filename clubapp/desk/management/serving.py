"""What `serve` and `demo` share: their options, the order of the start, and what they print."""

from __future__ import annotations

import io
from argparse import ArgumentParser
from collections.abc import Callable
from typing import Any

import segno
from django.core.management.base import OutputWrapper

from clubapp.desk import server


def add_options(parser: ArgumentParser) -> None:
    parser.add_argument("--host", default="0.0.0.0", help="address to listen on; 0.0.0.0 lets phones in (default)")
    parser.add_argument("--port", type=int, default=8000, help="port to listen on; 0 picks a free one (default 8000)")


def start(options: dict[str, Any], out: OutputWrapper, after_tables: Callable[[server.Door], list[str]]) -> None:
    """Look, prepare, say where we are, serve. `after_tables` runs on ready tables and gives lines to print."""
    server.refuse_unsafe_settings()
    door = server.open_door(options["host"], options["port"])
    server.prepare()
    lines = after_tables(door)
    server.answer_to(door)
    out.write("\n".join([*addresses(door), "", *lines, "", "Stop with Ctrl-C."]))
    out.flush()
    try:
        server.run(door)
    except KeyboardInterrupt:
        out.write("Stopped.")


def addresses(door: server.Door) -> list[str]:
    """Where to find us; a QR code saves phones the typing."""
    lines = [f"Fieldbell is on {door.here}"]
    if door.phones and door.phones != door.here:
        picture = io.StringIO()
        segno.make(door.phones, micro=False).terminal(out=picture, compact=True)
        lines += [f"Phones on the same network: {door.phones}", picture.getvalue()]
    return lines
