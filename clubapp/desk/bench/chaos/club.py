"""The server that is killed: a data folder and a process over it."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.conf import settings

from clubapp.desk.folder import environment

STAGE = [sys.executable, "-m", "clubapp.desk.bench.chaos.stage"]
BROKEN = re.compile(r" 500 \d+ ms")  # the status and not the time it took


@dataclass
class Club:
    data: Path
    port: int
    process: subprocess.Popen[bytes] | None = None

    @property
    def log(self) -> Path:
        return self.data / "server.log"

    def open(self, phones: int) -> dict[str, Any]:
        """Fill the folder for so many phones and serve it; what phones have to know.

        Raises:
            RuntimeError: it ended before it served; the end of what it said.
        """
        self._run([*STAGE, "serve", str(phones), str(self.port)])
        assert self.process is not None
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        if not line:
            raise RuntimeError(self.log.read_text(errors="replace")[-2000:])
        told: dict[str, Any] = json.loads(line)
        return told

    def start(self) -> None:
        self._run([sys.executable, "manage.py", "serve", "--host", "127.0.0.1", "--port", str(self.port)])

    def kill(self) -> None:
        if self.process is not None:
            self.process.kill()
            self.process.communicate()
            self.process = None

    def audit(self) -> dict[str, Any]:
        """What it holds, read beside the server."""
        done = subprocess.run([*STAGE, "audit"], cwd=settings.BASE_DIR, env=environment(self.data), capture_output=True)
        if done.returncode:
            raise RuntimeError(done.stderr.decode()[-2000:])
        told: dict[str, Any] = json.loads(done.stdout)
        return told

    def faults(self) -> int:
        """Pages that broke: a power cut may cost a connection, never a 500."""
        return len(BROKEN.findall(self.log.read_text(errors="replace")))

    def _run(self, line: list[str]) -> None:
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                line, cwd=settings.BASE_DIR, env=environment(self.data), stdout=subprocess.PIPE, stderr=log
            )
