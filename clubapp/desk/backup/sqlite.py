"""SQLite: copies by `VACUUM INTO`, which lets writers go on, and back by the online backup in one transaction."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from django.db import connection

from clubapp.desk.backup.errors import BackupError

PATIENCE_S = 20.0  # as long as a tap waits for another writer


def _here() -> str:
    return str(connection.settings_dict["NAME"])


def write(path: Path) -> None:
    try:
        with closing(sqlite3.connect(_here(), timeout=PATIENCE_S)) as link:
            link.execute("VACUUM INTO ?", [str(path)])
    except sqlite3.Error as error:
        raise BackupError(f"The database cannot be copied: {error}.") from error
    check(path)


def check(path: Path) -> None:
    """Every page of the file is read and found sound."""
    said = [row[0] for row in _asked(path, "PRAGMA integrity_check")]
    if said != ["ok"]:
        raise BackupError(f"{path} is damaged: {said[0]}.")


def migrations(path: Path) -> set[tuple[str, str]]:
    """The migrations the copy was made with."""
    return {(app, name) for app, name in _asked(path, "SELECT app, name FROM django_migrations")}


def sample(path: Path, table: str, column: str) -> str:
    """Any one sealed value of a column, or nothing: also where the copy is older than the column."""
    if column not in [row[1] for row in _asked(path, f'PRAGMA table_info("{table}")')]:
        return ""
    rows = _asked(path, f'SELECT "{column}" FROM "{table}" WHERE "{column}" <> \'\' LIMIT 1')
    return str(rows[0][0]) if rows else ""


def put_back(path: Path) -> None:
    """Whoever reads meanwhile sees everything as before or everything as in the copy."""
    try:
        with closing(sqlite3.connect(path)) as copy, closing(sqlite3.connect(_here(), timeout=PATIENCE_S)) as live:
            copy.backup(live)
    except sqlite3.Error as error:
        raise BackupError(
            f"The database cannot be replaced: {error}. Is another program writing? Nothing changed."
        ) from error


def _asked(path: Path, question: str) -> list[tuple[str, ...]]:
    try:
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as link:
            return link.execute(question).fetchall()
    except sqlite3.Error as error:
        raise BackupError(f"{path} is no backup of Fieldbell on SQLite: {error}.") from error
