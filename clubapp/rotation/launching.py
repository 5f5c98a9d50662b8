"""Starts the process that does the long searches: the bell never shares an interpreter with one."""

from __future__ import annotations

import subprocess
import sys

from django.conf import settings

started: list[subprocess.Popen[bytes]] = []


def start() -> None:
    """One more process; it looks for itself whether there is something to do, and ends when there is not.

    A session of its own lets it end its search when the server is stopped by hand or started anew.
    """
    started[:] = [process for process in started if process.poll() is None]
    words = [sys.executable, "-m", "django", "think", "--settings", "clubapp.settings"]
    started.append(subprocess.Popen(words, cwd=settings.BASE_DIR, stdin=subprocess.DEVNULL, start_new_session=True))
