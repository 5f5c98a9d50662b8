"""Gives the tests a data folder of their own, before Django reads its settings; a conftest would be too late."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

BASE = os.environ.get("FIELDBELL_DATA") or str(Path(tempfile.gettempdir()) / f"fieldbell-tests-{os.getuid()}")
# Side by side, each worker has its own.
os.environ["FIELDBELL_DATA"] = str(Path(BASE) / os.environ.get("PYTEST_XDIST_WORKER", ""))
# The browser driver keeps an event loop in the test's thread, in which Django would refuse to touch the database.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
# Whoever wants no bytecode would have every worker and every server of a test compile everything anew.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False
