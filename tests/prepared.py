"""A data folder with the tables made and nothing in them, once for all workers of a run: `python -m tests.prepared`."""

from __future__ import annotations

import fcntl
import os
import shutil
import subprocess
import sys
from functools import cache
from pathlib import Path

from clubapp.desk.folder import environment
from tests.rules.house import ROOT


@cache
def prepared() -> Path:
    """That folder, to be copied. Whoever needs it first makes it, and the other workers wait."""
    from tests.folder import BASE  # which gives a worker its folder: not for the process below

    base = Path(BASE) / "prepared"
    base.mkdir(parents=True, exist_ok=True)
    data = base / os.environ.get("PYTEST_XDIST_TESTRUNUID", str(os.getpid()))
    with (base / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not data.exists():
            for other in base.iterdir():  # of earlier runs
                shutil.rmtree(other, ignore_errors=True)
            making = base / "making"
            words = [sys.executable, "-m", "tests.prepared"]
            done = subprocess.run(words, cwd=ROOT, env=environment(making), capture_output=True, text=True)
            assert done.returncode == 0, done.stderr
            making.rename(data)
    return data


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    import django

    django.setup()
    from clubapp.desk import server

    server.prepare()


if __name__ == "__main__":
    main()
