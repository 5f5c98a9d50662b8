"""Static files ready to be served; gathered anew only when one of them, or what gathers them, has changed since.

Gathering takes longer than all the rest of a start, and after a crash every phone waits for the start.
"""

from __future__ import annotations

import hashlib
import inspect
from importlib.metadata import version
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.core.management import call_command

from clubapp.core import joined, sheets, storage


def collect_static() -> None:
    """Leave STATIC_ROOT as the sources want it."""
    mark, wanted = Path(settings.STATIC_ROOT).with_suffix(".mark"), fingerprint()
    if mark.exists() and mark.read_text() == wanted and (Path(settings.STATIC_ROOT) / "staticfiles.json").exists():
        return
    mark.unlink(missing_ok=True)  # broken off half-way it is begun again
    call_command("collectstatic", interactive=False, verbosity=0)
    mark.write_text(wanted)


def fingerprint() -> str:
    """Of every source's name and bytes, and of the code that makes them ready."""
    found = hashlib.sha256()
    makers = [inspect.getsource(module) for module in (joined, sheets, storage)]
    for part in (version("django"), version("servestatic"), *makers):
        found.update(part.encode())
    for finder in get_finders():
        for name, where in sorted(finder.list([]), key=lambda source: source[0]):
            with where.open(name) as file:
                found.update(f"\0{name}\0".encode() + file.read())
    return found.hexdigest()
