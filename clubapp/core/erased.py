"""Who was erased, by id alone, in a file beside the keys: a copy of the database older than that must not bring a child
back. Copy it together with the keys.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any
from uuid import UUID

from django.conf import settings
from django.db import connection
from django.utils.crypto import salted_hmac


def _file() -> Path:
    return Path(settings.DATA_DIR) / "erased.ids"


def remember(children: Iterable[UUID]) -> None:
    """Add ids that are not in the file yet."""
    new = sorted(set(children) - _remembered(), key=str)
    if not new:
        return
    handle = os.open(_file(), os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    with os.fdopen(handle, "w") as stream:
        # Begun on a new line: the last one may have been cut short by a crash.
        stream.writelines(f"\n{child}\n" for child in new)


def erased_since(log: Iterable[Mapping[str, Any]]) -> set[UUID]:
    """Ids of the file and of an audit log's rows."""
    told = {row["about"] for row in log if row["verb"] == "erased" and row["kind"] == "athlete"}
    return told | _remembered()


def edition() -> str:
    """Another word after each erasure, which does not say how many there were: phones fetch kept pages anew by it."""
    size = _file().stat().st_size if _file().exists() else 0
    return salted_hmac("fieldbell.erased", str(size)).hexdigest()[:12]


def leave_nothing_behind() -> None:
    """What SQLite wrote before lies in its log until that is cut off. A reader in the way leaves it to the next."""
    if connection.vendor == "sqlite" and not connection.in_atomic_block:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _remembered() -> set[UUID]:
    """A line cut short by a crash is left out: its erasure was in the log before."""
    found = set()
    for line in _file().read_text().split() if _file().exists() else ():
        with suppress(ValueError):
            found.add(UUID(line))
    return found
