"""A Redis of one's own on a free port, for as long as it is needed; can be killed and started again."""

from __future__ import annotations

import shutil
import socket
import subprocess
import time
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Self

START_S = 10.0


def has_redis() -> bool:
    """The server's program, and our library that speaks to it."""
    return shutil.which("redis-server") is not None and find_spec("channels_redis") is not None


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def answers(port: int) -> bool:
    try:
        socket.create_connection(("127.0.0.1", port), timeout=1).close()
    except OSError:
        return False
    return True


class Redis:
    """Keeps nothing on disk."""

    def __init__(self) -> None:
        self.port = free_port()
        self.folder = TemporaryDirectory()
        self.process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        return f"redis://127.0.0.1:{self.port}/0"

    def start(self) -> None:
        words = [
            "redis-server",
            "--port",
            str(self.port),
            "--bind",
            "127.0.0.1",
            "--save",
            "",
            "--dir",
            self.folder.name,
        ]
        with (Path(self.folder.name) / "log").open("ab") as log:
            self.process = subprocess.Popen(words, cwd=self.folder.name, stdout=log, stderr=log)
        until = time.monotonic() + START_S
        while not answers(self.port):
            if self.process.poll() is not None or time.monotonic() > until:
                raise RuntimeError("redis-server did not start")
            time.sleep(0.05)  # another program's start says nothing when it is done

    def kill(self) -> None:
        if self.process is not None:
            self.process.kill()
            self.process.wait()
            self.process = None

    def __enter__(self) -> Self:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.kill()
        self.folder.cleanup()
