"""Writes the copy: by SQLite's own `VACUUM INTO`, or by PostgreSQL's own `pg_dump`."""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from django.db import connection

from clubapp.desk.backup import postgres, sqlite
from clubapp.desk.backup.errors import BackupError


def back_up(path: Path) -> None:
    """Write the whole database to a new file that only its owner may read; writers go on meanwhile.

    The file appears under its name only once it is whole and was read through.

    Raises:
        BackupError: the file is there already, cannot be written, or came out damaged.
    """
    if path.exists():
        raise BackupError(f"{path} is there already: a backup is never written over. Choose another name.")
    write: Callable[[Path], None] = sqlite.write if connection.vendor == "sqlite" else postgres.write
    part = path.with_name(f"{path.name}.part{os.getpid()}")
    try:
        os.close(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        write(part)
        # A link fails where a rename would replace what somebody else wrote meanwhile.
        os.link(part, path)
    except OSError as error:
        raise BackupError(f"{path} cannot be written: {error.strerror}.") from error
    finally:
        with suppress(OSError):
            part.unlink()
