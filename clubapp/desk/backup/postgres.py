"""PostgreSQL by its own tools: `pg_dump`, `pg_restore`, `psql`."""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path

from django.db import connection

from clubapp.desk.backup.errors import BackupError

ANEW = "DROP SCHEMA public CASCADE;\nCREATE SCHEMA public;\n"


def write(path: Path) -> None:
    _run(["pg_dump", "--format=custom", "--no-owner", "--no-privileges", f"--file={path}"])
    check(path)


def check(path: Path) -> None:
    """The whole file can be unpacked."""
    _unpacked(path)


def migrations(path: Path) -> set[tuple[str, str]]:
    """The migrations the copy was made with."""
    rows = re.findall(r"^\d+\t(\S+)\t(\S+)\t", _unpacked(path, "--data-only", "--table=django_migrations"), re.M)
    return {(app, name) for app, name in rows}


def sample(path: Path, table: str, column: str) -> str:
    """Any one sealed value of a column, or nothing: also where the copy is older than the column."""
    text = _unpacked(path, "--data-only", f"--table={table}")
    head = re.search(rf"^COPY public\.{table} \((.*)\) FROM stdin;$", text, re.M)
    columns = [name.strip('" ') for name in head.group(1).split(",")] if head else []
    if head is None or column not in columns:
        return ""
    rows = text[head.end() :].split("\n\\.", 1)[0].split("\n")[1:]  # each begins on a new line, "\\." ends them
    cells = (row.split("\t")[columns.index(column)] for row in rows)
    return next((cell for cell in cells if cell not in ("", "\\N")), "")


def put_back(path: Path) -> None:
    """In one transaction: whoever reads meanwhile sees everything as before or everything as in the copy."""
    everything = ANEW + _unpacked(path, "--no-owner", "--no-privileges")
    _run(["psql", "--quiet", "--no-psqlrc", "--single-transaction", "--set=ON_ERROR_STOP=1"], everything)


def _unpacked(path: Path, *options: str) -> str:
    """The copy as SQL."""
    return _run(["pg_restore", *options, "--file=-", str(path)], database=False)


def _run(command: list[str], given: str = "", *, database: bool = True) -> str:
    """Its output. The password goes by the environment, where other people's process lists do not show it."""
    named = {"PGDATABASE": "NAME", "PGUSER": "USER", "PGPASSWORD": "PASSWORD", "PGHOST": "HOST", "PGPORT": "PORT"}
    to = {key: str(value) for key, name in named.items() if (value := connection.settings_dict[name])}
    try:
        done = subprocess.run(
            command, input=given, env=os.environ | (to if database else {}), capture_output=True, text=True, check=False
        )
    except FileNotFoundError as error:
        raise BackupError(f"{command[0]} is not there: install PostgreSQL's client programs.") from error
    if done.returncode:
        raise BackupError(f"{command[0]} said: {(done.stderr.strip().splitlines() or ['nothing'])[0]}")
    return done.stdout
