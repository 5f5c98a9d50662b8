"""The two ways a browser test gets a server: inside the test's process, or as the command people run."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Self

import uvicorn

from tests.rules.house import ROOT


@contextmanager
def in_thread() -> Iterator[str]:
    """Serve the test database from a thread; gives the address."""
    sock = socket.socket()
    sock.bind(("127.0.0.1", 0))
    sock.listen(64)
    config = uvicorn.Config("clubapp.asgi:application", log_config=None, lifespan="off", timeout_graceful_shutdown=2)
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [sock]})
    thread.start()
    try:
        yield f"http://127.0.0.1:{sock.getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join()
        sock.close()


class Served:
    """`manage.py serve` or `demo` with a data folder of its own; can be killed and started again on the same port."""

    def __init__(self, data: Path, command: str = "serve") -> None:
        self.data, self.command, self.port = data, command, 0
        self.process: subprocess.Popen[str] | None = None
        self.log = data / "server.log"

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()

    @property
    def home(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> list[str]:
        """Start and return what it printed; it answers from then on."""
        self.data.mkdir(parents=True, exist_ok=True)
        words = [sys.executable, "manage.py", self.command, "--host", "127.0.0.1", "--port", str(self.port)]
        kept = {key: value for key, value in os.environ.items() if not key.startswith("FIELDBELL_")}
        with self.log.open("a") as log:
            self.process = subprocess.Popen(
                words,
                cwd=ROOT,
                env=kept | {"FIELDBELL_DATA": str(self.data)},
                stdout=subprocess.PIPE,
                stderr=log,
                text=True,
            )
        return self._printed()

    def _printed(self) -> list[str]:
        assert self.process is not None
        assert self.process.stdout is not None
        lines: list[str] = []
        for line in self.process.stdout:
            lines.append(line.rstrip("\n"))
            if line.startswith("Stop with"):
                break
        else:
            self._end(signal.SIGKILL)
            raise AssertionError(f"the server did not start:\n{self.log.read_text()}")
        self.port = int(lines[0].rstrip("/").rsplit(":", 1)[1])
        return lines

    def kill(self) -> None:
        """As a power cut would."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        self._end(signal.SIGTERM)

    def _end(self, how: signal.Signals) -> None:
        if self.process is None:
            return
        self.process.send_signal(how)
        self.process.wait(timeout=30)
        if self.process.stdout is not None:
            self.process.stdout.close()
        self.process = None

    def broken(self) -> list[str]:
        """Lines of the log that tell of a mistake of ours."""
        marks = (" 500 ", "Traceback", " ERROR ", " CRITICAL ")
        return [line for line in self.log.read_text().splitlines() if any(mark in line for mark in marks)]
