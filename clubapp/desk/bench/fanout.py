"""The bell's fan-out: one tap of the leader until the last phone has it, against a bare broadcast in the same run."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.conf import settings

from clubapp.desk.bench import herd
from clubapp.desk.bench.herd import Call
from clubapp.desk.bench.rows import Row

SHOTS = 20


def bell(sockets: int) -> Row:
    """Phones on a bell that runs, in `serve`'s own way; every tap is stored before it is told."""
    with process("bare") as line:
        bare = herd.milliseconds_to_last(bare_call(int(line)), sockets, SHOTS)
    with process("stage") as line:
        ours = herd.milliseconds_to_last(bell_call(json.loads(line)), sockets, SHOTS)
    figures = {"sockets": sockets, "taps": SHOTS} | herd.figures("", ours) | herd.figures("bare_", bare)
    return Row("bell fan-out", "a bare websocket broadcast", figures)


def bare_call(port: int) -> Call:
    return Call(f"ws://127.0.0.1:{port}/", say=str, heard=lambda message, number: message == str(number))


def bell_call(stage: dict[str, Any]) -> Call:
    """The leader adds a second; a phone has heard when it holds the bell as that tap left it."""

    def say(number: int) -> str:
        tap = {"op_id": str(uuid.uuid4()), "kind": "add", "seconds": 1, "seen": stage["seq"] + number}
        return json.dumps({"type": "command", **tap})

    def heard(message: str, number: int) -> bool:
        told = json.loads(message)
        return bool(told["type"] == "bell" and told["state"]["seq"] > stage["seq"] + number)

    home = f"127.0.0.1:{stage['port']}"
    cookie = f"{settings.SESSION_COOKIE_NAME}={stage['key']}"
    headers = {"Origin": f"http://{home}", "Cookie": cookie}
    return Call(f"ws://{home}/ws/bell/{stage['session']}/", say, heard, headers)


@contextmanager
def process(module: str) -> Iterator[str]:
    """One of the bench's servers with a data folder of its own; gives the line it prints when it is ready."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith("FIELDBELL_")}
    words = [sys.executable, "-m", f"clubapp.desk.bench.{module}"]
    with tempfile.TemporaryDirectory() as data:
        environment = kept | {"FIELDBELL_DATA": data}
        running = subprocess.Popen(
            words, cwd=settings.BASE_DIR, env=environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        )
        assert running.stdout is not None
        try:
            yield running.stdout.readline()
        finally:
            running.terminate()
            running.wait()
            running.stdout.close()
