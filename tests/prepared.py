"""A data folder with the tables made and nothing in them: `python -m tests.prepared`.

Once for all workers, and for later runs while what it is made from stays the same.
"""

from __future__ import annotations

import fcntl
import hashlib
import os
import shutil
import subprocess
import sys
from functools import cache
from importlib.metadata import version
from pathlib import Path

from clubapp.desk.folder import environment
from tests.rules.house import ROOT


@cache
def prepared() -> Path:
    """That folder, to be copied. Whoever needs it first makes it, and the other workers wait."""
    from tests.folder import BASE  # which gives a worker its folder: not for the process below

    base = Path(BASE) / "prepared"
    base.mkdir(parents=True, exist_ok=True)
    data = base / sources()
    with (base / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not data.exists():
            for other in base.iterdir():  # of other sources
                shutil.rmtree(other, ignore_errors=True)
            making = base / "making"
            words = [sys.executable, "-m", "tests.prepared"]
            done = subprocess.run(words, cwd=ROOT, env=environment(making), capture_output=True, text=True)
            assert done.returncode == 0, done.stderr
            # A thousand files: every server beside the tests looks into the same folder.
            (making / "static").rename(base / "static")
            (making / "static").symlink_to(base / "static")
            making.rename(data)
    return data


def sources() -> str:
    """What tables and static files are made from, as one word."""
    found = hashlib.sha256("".join(version(name) for name in ("django", "django-allauth", "servestatic")).encode())
    code = ROOT / "clubapp"
    patterns = ("**/migrations/*.py", "**/models.py", "**/models/*.py", "core/*.py", "settings.py", "desk/server.py")
    for path in sorted({*(ROOT / "static").rglob("*.*"), *(path for one in patterns for path in code.glob(one))}):
        found.update(f"\0{path.relative_to(ROOT)}\0".encode() + path.read_bytes())
    return found.hexdigest()[:32]


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "clubapp.settings")
    import django

    django.setup()
    from clubapp.desk import server

    server.prepare()


if __name__ == "__main__":
    main()
