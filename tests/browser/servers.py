"""The server of a browser test: the command people run, with a data folder of its own."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
from pathlib import Path
from typing import Self

from clubapp.desk.folder import begin, environment
from tests.rules.house import ROOT


def own_folder(data: Path, *, empty: bool = False) -> dict[str, str]:
    """The environment of a process that keeps its data there: with the tables made, unless it is to be empty."""
    if empty:
        data.mkdir(parents=True, exist_ok=True)
    else:
        begin(data)
    return environment(data)


class Served:
    """`manage.py serve` or `demo` with a data folder of its own; can be killed and started again on the same port."""

    def __init__(self, data: Path, command: str = "serve", *, empty: bool = False) -> None:
        self.data, self.command, self.empty, self.port = data, command, empty, 0
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
        setting = own_folder(self.data, empty=self.empty)
        words = [sys.executable, "manage.py", self.command, "--host", "127.0.0.1", "--port", str(self.port)]
        with self.log.open("a") as log:
            self.process = subprocess.Popen(words, cwd=ROOT, env=setting, stdout=subprocess.PIPE, stderr=log, text=True)
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
        # The status 500 and not a page that took 500 ms.
        marks = re.compile(r" 500 \d+ ms|Traceback| ERROR | CRITICAL ")
        return [line for line in self.log.read_text().splitlines() if marks.search(line)]
