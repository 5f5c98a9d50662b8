"""Data folders of their own, for the servers that benches, pictures and tests start beside this process."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

# What a new folder begins with. Making the tables takes longer than many a measurement: the tests, which start many
# servers, make them once.
begins: Callable[[], Path] | None = None


@contextmanager
def data_folder() -> Iterator[Path]:
    """A folder that goes with whoever asked."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as name:
        data = Path(name)
        begin(data)
        yield data


def begin(data: Path) -> None:
    """Make a data folder, if it is not there yet."""
    data.mkdir(parents=True, exist_ok=True)
    if begins is not None and not (data / "fieldbell.sqlite3").exists():
        shutil.copytree(begins(), data, symlinks=True, dirs_exist_ok=True)


def environment(data: Path) -> dict[str, str]:
    """Of a process that keeps its data there and has no other setting."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith("FIELDBELL_")}
    return kept | {"FIELDBELL_DATA": str(data)}
